"""Form 1040, page 2, with real form fields."""

from making.figures import Figures
from making.form_1040_margin import MARGIN, section
from making.form_1040_signing import sign_block
from making.layout import FieldNames, Ladder, page_foot, page_head
from making.numbers import Household
from making.pdf_book import PdfBook
from making.sheet import GREY, Blank


def _taxes(s: PdfBook, names: FieldNames, f: Figures) -> float:
    top = 746.0
    section(s, top, "Tax and Credits")
    rows = Ladder(s, top, text=MARGIN + 14, step=13, names=names)
    rows.row("11b", "Amount from line 11a (adjusted gross income)", f.agi)
    base = rows.row("12a", "Someone can claim:", where="none")
    s.choices(200, base, (("You as a dependent", False), ("Your spouse as a dependent", False)))
    base = rows.row("d", "You:", where="none")
    options = (("Were born before January 2, 1961", False), ("Are blind", False))
    s.choices(142, base, options, gap=5)
    s.text(316, base, "Spouse:", 7.5)
    s.choices(344, base, (("Born before Jan. 2, 1961", False), ("Blind", False)), gap=5)
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
    rows.row(
        "22", "Subtract line 21 from line 18. If zero or less, enter -0-", f.tax - f.child_credit
    )
    rows.row(
        "23",
        "Other taxes, including self-employment tax, from Schedule 2, line 21",
        f.se_tax or None,
    )
    rows.row("24", "Add lines 22 and 23. This is your total tax", f.total_tax, font="B")
    return rows.y


def _payments(s: PdfBook, names: FieldNames, f: Figures, top: float) -> float:
    section(s, top, "Payments", "If you have a qualifying child, attach Sch. EIC.")
    rows = Ladder(s, top, text=MARGIN + 14, step=13, names=names)
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
    section(s, top, "Refund", "Direct deposit? See instructions.")
    rows = Ladder(s, top, text=MARGIN + 14, step=13, names=names)
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
    section(s, rows.y, "Amount You Owe")
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
