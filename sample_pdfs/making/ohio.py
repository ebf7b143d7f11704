"""A state return in the manner of the Ohio IT 1040: two pages, printed entries."""

from making.figures import OhioFigures
from making.layout import LEFT, RIGHT, Ladder, bar
from making.numbers import FIRM, PREPARER, PREPARER_PHONE, PREPARER_PTIN, Household
from making.pdf_book import PdfBook
from making.sheet import PALE, Blank


def _head(s: PdfBook, page: int, who: Household) -> float:
    s.text(LEFT, 744, "Ohio", 17, "T")
    s.text(82, 749, "Department of", 8, "S")
    s.text(82, 740, "Taxation", 8, "S")
    s.text(306, 744, "2025 Ohio IT 1040", 16, "B", "c")
    s.text(306, 730, "Individual Income Tax Return", 11, "B", "c")
    s.text(RIGHT, 744, "Rev. 09/25", 7, "R", "r")
    s.text(RIGHT, 733, f"IT 1040 – page {page} of 2", 8, "B", "r")
    s.line(LEFT, 724, RIGHT, 724, 1.2)
    if page > 1:
        s.text(LEFT, 712, "SSN", 7.5, "B")
        s.text(62, 712, who.taxpayer_ssn, 10, "M")
        s.text(RIGHT, 712, who.names, 9, "M", "r")
        return 704
    s.text(
        LEFT,
        714,
        "Use only black ink and UPPERCASE letters. Use whole dollars only.",
        7,
        "I",
    )
    return 708


def _people(s: PdfBook, who: Household, y: float) -> float:
    cells = (
        (LEFT, 180.0, "Taxpayer's SSN (required)", who.taxpayer_ssn),
        (216.0, 180.0, "Spouse's SSN (if filing jointly)", who.spouse_ssn),
        (396.0, 180.0, "School district # (see instructions)", "2503"),
    )
    rows = (
        cells,
        (
            (LEFT, 180.0, "First name, M.I.", who.taxpayer_first.upper()),
            (216.0, 360.0, "Last name", who.last.upper()),
        ),
        (
            (LEFT, 180.0, "Spouse's first name, M.I.", who.spouse_first.upper()),
            (216.0, 360.0, "Last name (if filing jointly)", who.last.upper()),
        ),
        (
            (LEFT, 360.0, "Address line 1 (number and street) or P.O. Box", who.street.upper()),
            (396.0, 180.0, "Ohio county (first four letters)", "FENW"),
        ),
        (
            (LEFT, 300.0, "City", who.city.upper()),
            (336.0, 60.0, "State", who.state),
            (396.0, 180.0, "ZIP code", "43200-0418"),
        ),
    )
    for row in rows:
        for x, width, label, value in row:
            s.rect(x, y - 27, width, 27)
            s.text(x + 3, y - 8, label, 6.5)
            s.text(x + 6, y - 22, value, 10.5, "M")
        y -= 27
    s.rect(LEFT, y - 40, 540, 40, fill=PALE)
    s.text(LEFT + 4, y - 11, "Ohio Residency Status", 7.5, "B")
    s.choices(160, y - 11, (("Resident", True), ("Part-year resident", False)))
    s.choices(330, y - 11, (("Nonresident. Indicate state", False),))
    s.text(LEFT + 4, y - 25, "Filing Status (as on federal return)", 7.5, "B")
    s.choices(190, y - 25, (("Single or head of household", False),))
    s.choices(330, y - 25, (("Married filing jointly", True), ("Married filing separately", False)))
    s.text(LEFT + 4, y - 36, "Full-year Ohio resident spouse", 7)
    s.choices(190, y - 36, (("Yes", True), ("No", False)))
    return y - 44


def state_return(s: PdfBook, who: Household, o: OhioFigures) -> None:
    """Both pages."""
    y = _people(s, who, _head(s, 1, who))
    rows = Ladder(s, y, step=21.5, amount=92)
    rows.row("1", "Federal adjusted gross income (from your federal return)", o.federal.agi)
    rows.row("2a", "Additions (Ohio Schedule of Adjustments, line 10)", 0)
    rows.row("2b", "Deductions (Ohio Schedule of Adjustments, line 39)", o.deductions)
    rows.row("3", "Ohio adjusted gross income (line 1 plus line 2a minus line 2b)", o.agi)
    rows.row(
        "4", f"Exemption amount. Number of exemptions claimed: {o.exemptions}", o.exemption_total
    )
    rows.row("5", "Ohio income tax base (line 3 minus line 4)", o.base)
    rows.row("6", "Taxable business income (Ohio Schedule IT BUS, line 13)", 0)
    rows.row("7", "Taxable nonbusiness income (line 5 minus line 6)", o.base)
    rows.row("7a", "Amount from line 7", o.base)
    rows.row("8a", "Nonbusiness income tax liability on line 7a (see instructions)", o.tax)
    rows.row("8b", "Business income tax liability (Ohio Schedule IT BUS, line 14)", 0)
    rows.row("8c", "Income tax liability before credits (line 8a plus line 8b)", o.tax)
    rows.row("9", "Ohio nonrefundable credits (Ohio Schedule of Credits)", o.joint_credit)
    rows.row("10", "Tax liability after credits (line 8c minus line 9)", o.tax_after_credits)
    rows.row("11", "Interest penalty on underpayment of estimated tax", 0)
    rows.row("12", "Unpaid use tax (see instructions)", 0)
    s.text(LEFT, 50, "Do not write in this area; for department use only.", 7, "I")
    s.rect(LEFT, 60, 250, 26)
    s.text(RIGHT, 50, "2025 IT 1040 – page 1 of 2", 8, "B", "r")
    s.turn()
    _second(s, who, o)


def _second(s: PdfBook, who: Household, o: OhioFigures) -> None:
    y = _head(s, 2, who)
    rows = Ladder(s, y, step=19, amount=92)
    rows.row("13", "Total Ohio tax liability (add lines 10, 11 and 12)", o.tax_after_credits)
    rows.row("14", "Ohio income tax withheld (Ohio Schedule of Withholding, line 1)", o.withheld)
    rows.row("15", "Estimated and extension payments and credit carryforward", 0)
    rows.row("16", "Refundable credits (Ohio Schedule of Credits)", 0)
    rows.row("17", "Amended return only – amount previously paid")
    rows.row("18", "Total Ohio tax payments (add lines 14, 15, 16 and 17)", o.withheld)
    rows.row("19", "Amended return only – overpayment previously requested")
    rows.row("20", "Line 18 minus line 19", o.withheld)
    rows.row("21", "Tax due (line 13 minus line 20)", 0)
    rows.row("22", "Interest due on late payment of tax", 0)
    rows.row("23", "TOTAL AMOUNT DUE (line 21 plus line 22)", 0, font="B")
    rows.row("24", "Overpayment (line 20 minus line 13)", o.refund)
    rows.row("25", "Original return only – portion of line 24 carried forward to next year", 0)
    rows.row("26", "Original return only – portion of line 24 you wish to donate", 0)
    rows.row("27", "YOUR REFUND (line 24 minus lines 25 and 26)", o.refund, font="B")
    y = bar(s, rows.y - 8, "", "Direct Deposit of Your Refund")
    s.text(LEFT + 4, y - 17, "Routing number", 8, "B")
    s.rect(116, y - 22, 117, 16)
    s.cells(116, y - 22, 117, 16, 9)
    s.blank(Blank(116, y - 22, 117, 16, who.routing, comb=9, size=11))
    s.text(250, y - 17, "Account number", 8, "B")
    s.rect(324, y - 22, 156, 16)
    s.cells(324, y - 22, 156, 16, 12)
    s.blank(Blank(324, y - 22, 156, 16, who.account, comb=12, size=11))
    s.choices(492, y - 13, (("Checking", True),))
    s.choices(492, y - 24, (("Savings", False),))
    _sign(s, who.phone, y - 36)
    s.text(RIGHT, 50, "2025 IT 1040 – page 2 of 2", 8, "B", "r")
    s.turn()


def _sign(s: PdfBook, phone: str, y: float) -> None:
    s.line(LEFT, y, RIGHT, y, 1.0)
    s.text(LEFT, y - 12, "Sign Here (required):", 9, "B")
    s.para(
        140,
        y - 11,
        436,
        "I have read this return. Under penalties of perjury, I declare that, to the best of my "
        "knowledge and belief, the return and all enclosures are true, correct and complete.",
        7.5,
    )
    y -= 62
    for role, label in (("taxpayer", "Primary signature"), ("spouse", "Spouse's signature")):
        s.line(LEFT, y, 300, y)
        s.text(LEFT, y - 8, label, 7)
        s.blank(
            Blank(LEFT, y, 264, 24, name=f"{role}_signature_it1040", signature=True, tooltip=label)
        )
        s.line(316, y, 400, y)
        s.text(316, y - 8, "Date (MM/DD/YY)", 7)
        s.blank(Blank(316, y, 84, 15, name=f"{role}_sign_date_it1040", size=9.5))
        if role == "taxpayer":
            s.text(416, y + 3, phone, 10, "M")
            s.line(414, y, RIGHT, y)
            s.text(416, y - 8, "Phone number", 7)
        y -= 36
    s.check(LEFT, y, True)
    s.text(LEFT + 12, y, "Check here to authorize your preparer to discuss this return.", 8)
    y -= 24
    s.text(LEFT, y + 3, f"{PREPARER}   {FIRM}", 9, "M")
    s.line(LEFT, y, 390, y)
    s.text(LEFT, y - 8, "Preparer's printed name", 7)
    s.text(402, y + 3, PREPARER_PHONE, 9, "M")
    s.text(492, y + 3, PREPARER_PTIN, 9, "M")
    s.line(400, y, RIGHT, y)
    s.text(402, y - 8, "Phone number", 7)
    s.text(492, y - 8, "Preparer's TIN (PTIN)", 7)
