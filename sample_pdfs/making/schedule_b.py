"""Schedule B: interest and ordinary dividends."""

from making.figures import Figures, whole
from making.layout import LEFT, RIGHT, Ladder, money, name_line, page_foot, schedule_head
from making.numbers import Household
from making.pdf_book import PdfBook

COLUMN = 110.0


def _payers(
    s: PdfBook, y: float, number: str, head: str, payers: list[tuple[str, int]], room: int
) -> float:
    """The list of payers with dotted lines and an amount column; gives the y under it."""
    top = y
    s.text(COLUMN - 4, y - 10, number, 7.5, "B", "r")
    y = s.para(COLUMN + 4, y - 10, 370, head, 7.5, leading=9) - 4
    for index in range(room):
        payer, amount = payers[index] if index < len(payers) else ("", None)
        s.text(COLUMN + 8, y, payer, 9, "M")
        s.line(COLUMN + 4, y - 3, 480, y - 3, 0.4, (1, 2))
        s.text(RIGHT - 4, y, money(amount), 9, "M", "r")
        s.line(508, y - 3, RIGHT, y - 3, 0.4)
        y -= 14
    y += 11
    s.rect(484, y, 24, top - y)
    s.text(496, (top + y) / 2, number, 7.5, "B", "c")
    s.rect(508, y, 68, top - y)
    return y


def _side(s: PdfBook, y: float, part: str, title: str, note: str) -> None:
    s.line(LEFT, y, RIGHT, y, 1.0)
    base = s.para(LEFT, y - 13, 68, part, 11, "B", 12)
    base = s.para(LEFT, base - 2, 66, title, 10, "B", 11.5)
    s.para(LEFT, base - 3, 66, note, 6.4, leading=7.6)


def schedule_b(s: PdfBook, who: Household, f: Figures) -> None:
    """One page."""
    y = schedule_head(
        s,
        "SCHEDULE B",
        "(Form 1040)",
        "Interest and Ordinary Dividends",
        (
            "Go to www.irs.gov/ScheduleB for instructions and the latest information.",
            "Attach to Form 1040 or 1040-SR.",
        ),
        "08",
    )
    y = name_line(s, y, who.names, who.taxpayer_ssn)
    note = "(See instructions and the Instructions for Form 1040, line 2b.)"
    _side(s, y, "Part I", "Interest", note)
    s.text(542, y - 9, "Amount", 7.5, "B", "c")
    interest = [(name, whole(amount)) for name, amount in f.interest]
    head = (
        "List name of payer. If any interest is from a seller-financed mortgage and the buyer used "
        "the property as a personal residence, see the instructions and list this interest first. "
        "Also, show that buyer's social security number and address:"
    )
    y = _payers(s, y - 12, "1", head, interest, 13)
    rows = Ladder(s, y, text=COLUMN + 4, step=15)
    rows.row("2", "Add the amounts on line 1", f.interest_total)
    rows.row(
        "3",
        "Excludable interest on series EE and I U.S. savings bonds issued after 1989.\n"
        "Attach Form 8815",
    )
    rows.row(
        "4", "Subtract line 3 from line 2. Enter here and on Form 1040, line 2b", f.interest_total
    )
    s.text(
        COLUMN + 4, rows.y - 10, "Note: If line 4 is over $1,500, you must complete Part III.", 7
    )
    y = rows.y - 14
    note = "(See instructions and the Instructions for Form 1040, line 3b.)"
    _side(s, y, "Part II", "Ordinary Dividends", note)
    s.text(542, y - 9, "Amount", 7.5, "B", "c")
    dividends = [(name, whole(amount)) for name, amount in f.dividends]
    y = _payers(s, y - 12, "5", "List name of payer:", dividends, 12)
    rows = Ladder(s, y, text=COLUMN + 4, step=15)
    rows.row(
        "6", "Add the amounts on line 5. Enter here and on Form 1040, line 3b", f.dividend_total
    )
    s.text(
        COLUMN + 4, rows.y - 10, "Note: If line 6 is over $1,500, you must complete Part III.", 7
    )
    y = rows.y - 14
    _side(s, y, "Part III", "Foreign Accounts and Trusts", "")
    y = s.para(
        COLUMN + 4,
        y - 10,
        462,
        "You must complete this part if you (a) had over $1,500 of taxable interest or ordinary "
        "dividends; (b) had a foreign account; or (c) received a distribution from, or were a "
        "grantor of, or a transferor to, a foreign trust.",
        7,
        leading=8.4,
    )
    for number, words in (
        (
            "7a",
            "At any time during 2025, did you have a financial interest in or signature authority "
            "over a financial account located in a foreign country? See instructions.",
        ),
        (
            "8",
            "During 2025, did you receive a distribution from, or were you the grantor of, or "
            'transferor to, a foreign trust? If "Yes," you may have to file Form 3520.',
        ),
    ):
        s.text(COLUMN - 4, y - 3, number, 7.5, "B", "r")
        s.choices(506, y - 3, (("Yes", False), ("No", True)))
        y = s.para(COLUMN + 4, y - 3, 380, words, 7, leading=8.4) - 3
    page_foot(
        s,
        y - 2,
        "For Paperwork Reduction Act Notice, see your tax return instructions.",
        "Cat. No. 17146N",
        "Schedule B (Form 1040) 2025",
    )
    s.turn()
