"""Pages that a tax program prints behind the return: worksheets and diagnostics."""

from making.figures import Figures, OhioFigures, whole
from making.layout import LEFT, RIGHT, Ladder, money
from making.numbers import Household
from making.pdf_book import PdfBook
from making.sheet import PALE


def _head(s: PdfBook, title: str, who: Household, note: str) -> float:
    s.text(LEFT, 748, who.names, 8, "M")
    s.text(RIGHT, 748, who.taxpayer_ssn, 8, "M", "r")
    s.rect(LEFT, 718, 540, 22, fill=PALE)
    s.text(306, 725, title, 12, "B", "c", fit=530)
    s.text(LEFT, 706, note, 7.5, "I")
    s.text(RIGHT, 706, "2025", 9, "B", "r")
    return 698


def _foot(s: PdfBook) -> None:
    s.text(LEFT, 40, "Keep for your records. Do not file.", 7, "I")


def qualified_dividends(s: PdfBook, who: Household, f: Figures) -> None:
    """The worksheet for line 16."""
    y = _head(
        s,
        "Qualified Dividends and Capital Gain Tax Worksheet—Line 16",
        who,
        "Worksheet. Form 1040 instructions",
    )
    gain = whole(f.qualified)
    rest = f.taxable - gain
    rows = Ladder(s, y, step=19)
    rows.row("1", "Enter the amount from Form 1040, line 15", f.taxable, where="inner")
    rows.row("2", "Enter the amount from Form 1040, line 3a", gain, where="inner")
    rows.row("3", "Are you filing Schedule D? If No, Form 1040, line 7a", 0, where="inner")
    rows.row("4", "Add lines 2 and 3", gain, where="inner")
    rows.row("5", "Subtract line 4 from line 1. If zero or less, enter -0-", rest, where="inner")
    rows.row("6", "Enter $96,700 if married filing jointly", 96_700, where="inner")
    rows.row("7", "Enter the smaller of line 1 or line 6", f.taxable, where="inner")
    rows.row("8", "Enter the smaller of line 5 or line 7", rest, where="inner")
    rows.row("9", "Subtract line 8 from line 7. This amount is taxed at 0%", gain, where="inner")
    rows.row("10", "Enter the smaller of line 1 or line 4", gain, where="inner")
    rows.row("11", "Enter the amount from line 9", gain, where="inner")
    rows.row("12", "Subtract line 11 from line 10", 0, where="inner")
    rows.row("13", "Enter $600,050 if married filing jointly", 600_050, where="inner")
    rows.row("14", "Enter the smaller of line 1 or line 13", f.taxable, where="inner")
    rows.row("15", "Add lines 5 and 9", f.taxable, where="inner")
    rows.row("16", "Subtract line 15 from line 14. If zero or less, enter -0-", 0, where="inner")
    rows.row("17", "Enter the smaller of line 12 or line 16", 0, where="inner")
    rows.row("18", "Multiply line 17 by 15% (0.15)", 0)
    rows.row("19", "Add lines 9 and 17", gain, where="inner")
    rows.row("20", "Subtract line 19 from line 10", 0, where="inner")
    rows.row("21", "Multiply line 20 by 20% (0.20)", 0)
    rows.row("22", "Figure the tax on the amount on line 5", f.tax)
    rows.row("23", "Add lines 18, 21, and 22", f.tax)
    rows.row("24", "Figure the tax on the amount on line 1", f.plain_tax)
    rows.row("25", "Tax on all taxable income. Enter on Form 1040, line 16", f.tax, font="B")
    _foot(s)
    s.turn()


def summary(s: PdfBook, who: Household, f: Figures, o: OhioFigures) -> None:
    """The return at a glance, with the office's own sheet for the bank."""
    y = _head(s, "Tax Return Summary Worksheet", who, "Worksheet. Prepared for your records")
    lines: tuple[tuple[str, int], ...] = (
        ("Wages, salaries, tips", f.wage_total),
        ("Taxable interest", f.interest_total),
        ("Ordinary dividends", f.dividend_total),
        ("Business income", f.profit),
        ("Total income", f.total_income),
        ("Adjustments to income", f.adjustments),
        ("Adjusted gross income", f.agi),
        ("Standard deduction", f.standard),
        ("Qualified business income deduction", f.qbi),
        ("Taxable income", f.taxable),
        ("Tax before credits", f.tax),
        ("Child tax credit", f.child_credit),
        ("Self-employment tax", f.se_tax),
        ("Total tax", f.total_tax),
        ("Withholding and estimated payments", f.payments),
        ("Federal amount you owe", f.owed),
        ("Ohio tax after credits", o.tax_after_credits),
        ("Ohio tax withheld", o.withheld),
        ("Ohio refund", o.refund),
    )
    for index, (words, amount) in enumerate(lines):
        y -= 18
        if index % 2:
            s.rect(LEFT, y - 5, 540, 18, fill=PALE, lw=0)
        s.text(60, y, words, 9)
        s.text(520, y, money(amount), 9.5, "M", "r")
    y -= 34
    s.text(60, y, "State refund by direct deposit", 9, "B")
    s.text(60, y - 16, "Routing number", 8.5)
    s.text(170, y - 16, who.routing, 9.5, "M")
    s.text(270, y - 16, "Account number", 8.5)
    s.text(370, y - 16, who.account, 9.5, "M")
    _foot(s)
    s.turn()


def diagnostics(s: PdfBook, who: Household) -> None:
    """What a program reports about the return before it is sent; office use."""
    y = _head(s, "Return Diagnostics", who, "Diagnostic report. For preparer use only")
    first = who.dependents[0]
    messages = (
        (
            "ALERT",
            "1040",
            "Balance due: payment voucher printed. No electronic withdrawal was set.",
        ),
        ("ALERT", "1040", f"Identity Protection PIN present for {who.taxpayer_ssn} and spouse."),
        ("NOTE", "8812", f"Dependent {first[0]} {who.last}, SSN {first[1]}: under 17 at year end."),
        ("NOTE", "SCH B", "Part III, lines 7a and 8 answered No. Confirm with the client."),
        ("NOTE", "SCH C", "Vehicle: standard mileage rate used. Written evidence marked Yes."),
        ("NOTE", "8867", "Due diligence checklist complete."),
        ("NOTE", "OH", f"Joint filing credit applied for spouse {who.spouse_ssn}."),
        ("OK", "EF", "Federal and Ohio returns are ready for electronic filing."),
    )
    s.rect(LEFT, y - 18, 540, 16, fill=PALE)
    for x, words in ((42.0, "Level"), (92.0, "Form"), (142.0, "Message")):
        s.text(x, y - 13, words, 8, "B")
    y -= 32
    for level, form, words in messages:
        s.text(42, y, level, 8.5, "N")
        s.text(92, y, form, 8.5, "M")
        y = s.para(142, y, 425, words, 8.5, "M", 11) - 5
        s.line(LEFT, y + 8, RIGHT, y + 8, 0.3, color=(0.7, 0.7, 0.7))
    s.text(LEFT, 40, "Office use only. Not part of the return.", 7, "I")
    s.turn()
