"""Form 1040, both pages, with real form fields."""

from making.figures import Figures, whole
from making.layout import LEFT, RIGHT, FieldNames, Ladder, digits, page_foot, page_head
from making.form_1040_signing import sign_block
from making.numbers import Household
from making.pdf_book import PdfBook
from making.sheet import GREY, PALE, Blank

MARGIN = 108.0
"""Where the lines begin; left of it stand the headings of sections."""


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


def _section(s: PdfBook, y: float, title: str, note: str = "") -> None:
    base = s.para(LEFT, y - 11, 68, title, 9.5, "B", 11)
    if note:
        s.para(LEFT, base - 1, 66, note, 6.2, leading=7.4)
    s.line(LEFT, y, RIGHT, y, 1.0)


def _status(s: PdfBook, who: Household) -> None:
    joint = bool(who.spouse_first)
    _section(s, 594, "Filing Status", "Check only one box.")
    s.choices(MARGIN, 583, (("Single", not joint),))
    s.choices(330, 583, (("Head of household (HOH)", False),))
    s.choices(MARGIN, 572, (("Married filing jointly (even if only one had income)", joint),))
    s.choices(330, 572, (("Qualifying surviving spouse (QSS)", False),))
    s.choices(MARGIN, 561, (("Married filing separately (MFS). Enter spouse's name:", False),))
    s.line(318, 560, RIGHT, 560, 0.4)
    _section(s, 556, "Digital Assets")
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
    _section(s, top, "Dependents", "If more than four dependents, see instructions and check here")
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
    _section(
        s,
        top,
        "Income",
        "Attach Form(s) W-2 here. Also attach Forms W-2G and 1099-R if tax was withheld.\n"
        "If you did not get a Form W-2, see instructions.\nAttach Sch. B if required.",
    )
    rows = Ladder(s, top, text=MARGIN + 14, step=13.5, names=names)
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
    rows.row("7a", "Capital gain or (loss). Attach Schedule D if required")
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


def _taxes(s: PdfBook, names: FieldNames, f: Figures) -> float:
    top = 746.0
    _section(s, top, "Tax and Credits")
    rows = Ladder(s, top, text=MARGIN + 14, step=13.5, names=names)
    rows.row("11b", "Amount from line 11a (adjusted gross income)", f.agi)
    rows.row("12a", "Someone can claim:   You as a dependent      Your spouse", where="none")
    s.check(178, rows.y + 3.5)
    s.check(258, rows.y + 3.5)
    rows.row("e", "Standard deduction or itemized deductions (Schedule A)", f.standard, box="12e")
    rows.row("13a", "Qualified business income deduction from Form 8995", f.qbi or None)
    rows.row("b", "Additional deductions from Schedule 1-A, line 38", box="13b")
    rows.row("14", "Add lines 12e, 13a, and 13b", f.standard + f.qbi)
    rows.row(
        "15",
        "Subtract line 14 from line 11b. If zero or less, enter -0-. This is your taxable income",
        f.taxable,
        font="B",
    )
    rows.row("16", "Tax (see instructions). Check if any from Form(s): 1  8814   2  4972", f.tax)
    rows.row("17", "Amount from Schedule 2, line 3")
    rows.row("18", "Add lines 16 and 17", f.tax)
    rows.row(
        "19",
        "Child tax credit or credit for other dependents from Schedule 8812",
        f.child_credit or None,
    )
    rows.row("20", "Amount from Schedule 3, line 8")
    rows.row("21", "Add lines 19 and 20", f.child_credit or None)
    rows.row("22", "Subtract line 21 from line 18. If zero or less, enter -0-", f.tax - f.child_credit)
    rows.row(
        "23", "Other taxes, including self-employment tax, from Schedule 2, line 21", f.se_tax or None
    )
    rows.row("24", "Add lines 22 and 23. This is your total tax", f.total_tax, font="B")
    return rows.y


def _payments(s: PdfBook, names: FieldNames, f: Figures, top: float) -> float:
    _section(s, top, "Payments", "If you have a qualifying child, attach Sch. EIC.")
    rows = Ladder(s, top, text=MARGIN + 14, step=13.5, names=names)
    rows.row("25", "Federal income tax withheld from:", where="none")
    rows.row("a", "Form(s) W-2", f.withheld, where="inner", box="25a")
    rows.row("b", "Form(s) 1099", where="inner", box="25b")
    rows.row("c", "Other forms (see instructions)", where="inner", box="25c")
    rows.row("d", "Add lines 25a through 25c", f.withheld, box="25d")
    rows.row(
        "26", "2025 estimated tax payments and amount applied from 2024 return", f.estimated or None
    )
    rows.row("27a", "Earned income credit (EIC)", where="inner")
    rows.row("28", "Additional child tax credit from Schedule 8812", where="inner")
    rows.row("29", "American opportunity credit, Form 8863, line 8", where="inner")
    rows.row("30", "Refundable adoption credit, Form 8839, line 13", where="inner")
    rows.row("31", "Amount from Schedule 3, line 15", where="inner")
    rows.row("32", "Add lines 27a, 28, 29, 30, and 31. These are your total other payments", 0)
    rows.row("33", "Add lines 25d, 26, and 32. These are your total payments", f.payments, font="B")
    return rows.y


def _refund(s: PdfBook, names: FieldNames, f: Figures, who: Household, top: float) -> float:
    _section(s, top, "Refund", "Direct deposit? See instructions.")
    rows = Ladder(s, top, text=MARGIN + 14, step=13.5, names=names)
    due = f.refund or None
    rows.row("34", "If line 33 is more than line 24, this is the amount you overpaid", due)
    rows.row("35a", "Amount of line 34 you want refunded to you. If Form 8888, check here", due)
    paid = bool(f.refund)
    for number, label, value, cells in (
        ("b", "Routing number", who.routing if paid else "", 9),
        ("d", "Account number", who.account if paid else "", 17),
    ):
        y = rows.y - 15
        s.text(MARGIN + 8, y + 4, number, 7.5, "B", "r")
        s.text(MARGIN + 14, y + 4, label, 7.5)
        width = cells * 13.0
        s.rect(186, y + 1, width, 13)
        s.cells(186, y + 1, width, 13, cells)
        s.blank(Blank(186, y + 1, width, 13, value, names.next(), comb=cells, size=10))
        if number == "b":
            s.text(318, y + 4, "c  Type:", 7.5, "B")
            s.choices(352, y + 4, (("Checking", paid), ("Savings", False)))
        s.rect(486, y, 24, 15, fill=GREY, lw=0)
        rows.y = y
    rows.row("36", "Amount of line 34 applied to your 2026 estimated tax", where="inner")
    _section(s, rows.y, "Amount You Owe")
    rows.row(
        "37",
        "Subtract line 33 from line 24. This is the amount you owe.\n"
        "For details on how to pay, go to www.irs.gov/Payments or see instructions",
        f.owed or None,
    )
    rows.row("38", "Estimated tax penalty (see instructions)", where="inner")
    return rows.y


def second_page(s: PdfBook, who: Household, f: Figures) -> None:
    """Form 1040, page 2."""
    names = FieldNames("f1040.page2.f2")
    page_head(s, "Form 1040 (2025)", 2)
    y = _taxes(s, names, f)
    y = _payments(s, names, f, y)
    y = _refund(s, names, f, who, y)
    sign_block(s, names, who, y)
    page_foot(
        s,
        40,
        "Go to www.irs.gov/Form1040 for instructions and the latest information.",
        "",
        "Form 1040 (2025)",
    )
    s.turn()
