"""Form 1040, page 1, with real form fields."""

from making.figures import Figures, whole
from making.form_1040_margin import MARGIN, section
from making.layout import LEFT, RIGHT, FieldNames, Ladder, digits, page_foot
from making.numbers import Household
from making.pdf_book import PdfBook
from making.sheet import PALE, Blank


def _box(
    s: PdfBook,
    names: FieldNames,
    at: tuple[float, float, float, float],
    label: str,
    value: str = "",
    bold: bool = False,
) -> None:
    """A labelled place of the name block; `at` is x, y, width, height."""
    x, y, w, h = at
    s.rect(x, y, w, h)
    s.text(x + 2, y + h - 7, label, 6.3, "B" if bold else "R", fit=w - 4)
    s.blank(Blank(x + 1, y + 1, w - 2, h - 9, value, names.next()))


def _number_box(
    s: PdfBook, names: FieldNames, at: tuple[float, float, float], label: str, value: str
) -> None:
    """Nine cells for a taxpayer number; `at` is x, y, width."""
    x, y, w = at
    s.rect(x, y, w, 24, lw=1.0)
    s.text(x + 3, y + 16.5, label, 6.5, "B", fit=w - 5)
    s.cells(x + 4, y + 2, w - 8, 12, 9)
    s.blank(Blank(x + 4, y + 1, w - 8, 13, digits(value), names.next(), comb=9, size=10))


def _title(s: PdfBook, year: int) -> None:
    s.upright(LEFT + 6, 731, "Form", 6.5)
    s.text(LEFT + 10, 732, "1040", 24, "B")
    s.line(102, 730, 102, 756)
    s.text(107, 749, "Department of the Treasury—Internal Revenue Service", 6.5)
    s.text(107, 734, "U.S. Individual Income Tax Return", 13, "B")
    s.line(318, 730, 318, 756)
    s.text(350, 734, str(year), 22, "B", "c")
    s.line(382, 730, 382, 756)
    s.text(386, 734, "OMB No. 1545-0074", 6.5)
    s.line(452, 730, 452, 756)
    s.text(455, 734, "IRS Use Only—Do not write or staple in this space.", 5.5, fit=120)
    s.line(LEFT, 730, RIGHT, 730, 1.0)
    s.text(
        LEFT,
        721,
        f"For the year Jan. 1–Dec. 31, {year}, or other tax year beginning"
        f"                    , {year}, ending                    , 20         .",
        7,
    )
    s.text(RIGHT - 2, 721, "See separate instructions.", 7, "R", "r")


def _name_block(s: PdfBook, names: FieldNames, who: Household) -> None:
    left, right_box = 432.0, 144.0
    _box(
        s,
        names,
        (LEFT, 692, 200, 24),
        "Your first name and middle initial",
        who.taxpayer_first,
    )
    _box(s, names, (236, 692, 196, 24), "Last name", who.last)
    _number_box(s, names, (left, 692, right_box), "Your social security number", who.taxpayer_ssn)
    spouse_label = "If joint return, spouse's first name and middle initial"
    _box(s, names, (LEFT, 668, 200, 24), spouse_label, who.spouse_first)
    _box(s, names, (236, 668, 196, 24), "Last name", who.last if who.spouse_first else "")
    _number_box(s, names, (left, 668, right_box), "Spouse's social security number", who.spouse_ssn)
    street_label = "Home address (number and street). If you have a P.O. box, see instructions."
    _box(s, names, (LEFT, 644, 340, 24), street_label, who.street)
    _box(s, names, (376, 644, 56, 24), "Apt. no.")
    city_label = "City, town, or post office. If you have a foreign address, also complete spaces."
    _box(s, names, (LEFT, 620, 272, 24), city_label, who.city)
    _box(s, names, (308, 620, 50, 24), "State", who.state)
    _box(s, names, (358, 620, 74, 24), "ZIP code", who.zip_code)
    _box(s, names, (LEFT, 596, 170, 24), "Foreign country name")
    _box(s, names, (206, 596, 152, 24), "Foreign province/state/county")
    _box(s, names, (358, 596, 74, 24), "Foreign postal code")
    s.rect(left, 596, right_box, 72)
    s.text(left + 3, 659, "Presidential Election Campaign", 7, "B")
    s.para(
        left + 3,
        650,
        136,
        "Check here if you, or your spouse if filing jointly, want $3 to go to this fund. Checking "
        "a box below will not change your tax or refund.",
        6.5,
        leading=8,
    )
    s.choices(left + 52, 600, (("You", False), ("Spouse", False)))


def _status(s: PdfBook, who: Household) -> None:
    joint = bool(who.spouse_first)
    section(s, 594, "Filing Status", "Check only one box.")
    s.choices(MARGIN, 583, (("Single", not joint),))
    s.choices(330, 583, (("Head of household (HOH)", False),))
    s.choices(MARGIN, 572, (("Married filing jointly (even if only one had income)", joint),))
    s.choices(330, 572, (("Qualifying surviving spouse (QSS)", False),))
    s.choices(MARGIN, 561, (("Married filing separately (MFS). Enter spouse's name:", False),))
    s.line(318, 560, RIGHT, 560, 0.4)
    section(s, 556, "Digital Assets")
    s.para(
        MARGIN,
        547,
        370,
        "At any time during 2025, did you: (a) receive (as a reward, award, or payment for "
        "property or services); or (b) sell, exchange, or otherwise dispose of a digital asset "
        "(or a financial interest in a digital asset)? (See instructions.)",
        7,
        leading=8.2,
    )
    s.choices(504, 538, (("Yes", False), ("No", True)))


def _dependents(s: PdfBook, names: FieldNames, who: Household) -> None:
    top = 526.0
    section(s, top, "Dependents", "If more than four dependents, see instructions and check here")
    s.check(90, 480)
    widths = (102.0, 90.0, 92.0, 80.0, 52.0, 52.0)
    heads = (
        "(1) First name",
        "(2) Last name",
        "(3) Social security number",
        "(4) Relationship",
        "Child tax credit",
        "Other credit",
    )
    x = MARGIN
    for head, width in zip(heads, widths, strict=True):
        s.rect(x, top - 13, width, 13, fill=PALE)
        s.text(x + 3, top - 9, head, 6.5, "B", fit=width - 5)
        x += width
    rows = [*who.dependents, *[("", "", "")] * 4][:4]
    for index, (first, number, relation) in enumerate(rows):
        y = top - 13 - 13.5 * (index + 1)
        x = MARGIN
        values = (first, who.last if first else "", digits(number), relation)
        for column, (value, width) in enumerate(zip(values, widths[:4], strict=True)):
            s.rect(x, y, width, 13.5)
            comb = 9 if column == 2 else 0
            if comb:
                s.cells(x + 1, y, width - 2, 11, 9)
            s.blank(Blank(x + 1, y + 0.5, width - 2, 12, value, names.next(), comb=comb))
            x += width
        for column in (4, 5):
            s.rect(x, y, 52, 13.5)
            s.check(x + 23, y + 3.4, bool(first) and column == 4)
            x += widths[column]


def _income(s: PdfBook, names: FieldNames, f: Figures) -> None:
    top = 457.0
    section(
        s,
        top,
        "Income",
        "Attach Form(s) W-2 here. Also attach Forms W-2G and 1099-R if tax was withheld.\n"
        "If you did not get a Form W-2, see instructions.\nAttach Sch. B if required.",
    )
    rows = Ladder(s, top, text=MARGIN + 14, step=15.3, names=names)
    rows.row("1a", "Total amount from Form(s) W-2, box 1 (see instructions)", f.wage_total)
    rows.row("b", "Household employee wages not reported on Form(s) W-2", box="1b")
    rows.row("c", "Tip income not reported on line 1a (see instructions)", box="1c")
    rows.row("d", "Medicaid waiver payments not reported on Form(s) W-2", box="1d")
    rows.row("e", "Taxable dependent care benefits from Form 2441, line 26", box="1e")
    rows.row("f", "Employer-provided adoption benefits from Form 8839, line 31", box="1f")
    rows.row("g", "Wages from Form 8919, line 6", box="1g")
    rows.row("h", "Other earned income (see instructions). Enter type:", box="1h")
    rows.row("i", "Nontaxable combat pay election", where="inner", box="1i")
    rows.row("z", "Add lines 1a through 1h", f.wage_total, box="1z")
    qualified = whole(f.qualified) or None
    pairs = (
        ("2", "Tax-exempt interest", None, "Taxable interest", f.interest_total or None),
        ("3", "Qualified dividends", qualified, "Ordinary dividends", f.dividend_total or None),
        ("4", "IRA distributions", None, "Taxable amount", None),
        ("5", "Pensions and annuities", None, "Taxable amount", None),
        ("6", "Social security benefits", None, "Taxable amount", None),
    )
    for number, first, first_amount, second, second_amount in pairs:
        _pair(rows, number, (first, first_amount), (second, second_amount))
        for letter, words, options in PAIR_BOXES.get(number, ()):
            base = rows.row(letter, words, where="none")
            x = rows.text + s.measure(words, 7.5) + 8
            s.choices(x, base, tuple((option, False) for option in options))
    rows.row("7a", "Capital gain or (loss). Attach Schedule D if required")
    base = rows.row("b", "Check if:", where="none")
    s.choices(
        rows.text + 38,
        base,
        (("Schedule D not required", False), ("Includes child's capital gain or (loss)", False)),
    )
    extra = f.profit or None
    rows.row("8", "Additional income from Schedule 1, line 10", extra)
    rows.row(
        "9",
        "Add lines 1z, 2b, 3b, 4b, 5b, 6b, 7a, and 8. This is your total income",
        f.total_income,
        font="B",
    )
    rows.row("10", "Adjustments to income from Schedule 1, line 26", f.adjustments or None)
    rows.row(
        "11a",
        "Subtract line 10 from line 9. This is your adjusted gross income",
        f.agi,
        font="B",
    )


PAIR_BOXES: dict[str, tuple[tuple[str, str, tuple[str, ...]], ...]] = {
    "4": (("c", "Check if (see instructions):", ("Rollover", "QCD", "Other")),),
    "5": (("c", "Check if (see instructions):", ("Rollover", "PSO", "Other")),),
    "6": (
        ("c", "If you elect to use the lump-sum election method, check here", ("",)),
        ("d", "If married filing separately and you lived apart all year, check here", ("",)),
    ),
}
"""Check boxes that stand under a pair of amounts."""


def _pair(
    rows: Ladder, number: str, first: tuple[str, int | None], second: tuple[str, int | None]
) -> None:
    """Two amounts side by side: lines 2a and 2b, 3a and 3b, and so on."""
    left = Ladder(
        rows.s,
        rows.y,
        text=rows.text,
        right=302,
        amount=60,
        number=20,
        step=rows.step,
        names=rows.names,
    )
    left.row(f"{number}a", first[0], first[1])
    right = Ladder(rows.s, rows.y, text=320, step=rows.step, names=rows.names)
    right.row("b", second[0], second[1], box=f"{number}b")
    rows.y = right.y


def first_page(s: PdfBook, who: Household, f: Figures) -> None:
    """Form 1040, page 1."""
    names = FieldNames("f1040.page1.f1")
    _title(s, 2025)
    _name_block(s, names, who)
    _status(s, who)
    _dependents(s, names, who)
    _income(s, names, f)
    page_foot(
        s,
        46,
        "For Disclosure, Privacy Act, and Paperwork Reduction Act Notice, see instructions.",
        "",
        "Form 1040 (2025)",
    )
    s.turn()
