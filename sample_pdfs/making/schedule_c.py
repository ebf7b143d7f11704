"""Schedule C: profit or loss from a business, both pages."""

from making.figures import Business, Figures
from making.layout import LEFT, RIGHT, Ladder, bar, digits, page_foot, page_head, schedule_head
from making.numbers import BUSINESS_EIN, Household
from making.pdf_book import PdfBook
from making.sheet import Blank

LEFT_EXPENSES = (
    ("8", "Advertising"),
    ("9", "Car and truck expenses (see instr.)"),
    ("10", "Commissions and fees"),
    ("11", "Contract labor (see instructions)"),
    ("12", "Depletion"),
    ("13", "Depreciation and section 179"),
    ("14", "Employee benefit programs"),
    ("15", "Insurance (other than health)"),
    ("16a", "Interest: Mortgage (paid to banks)"),
    ("16b", "Interest: Other"),
    ("17", "Legal and professional services"),
)
RIGHT_EXPENSES = (
    ("18", "Office expense (see instructions)"),
    ("19", "Pension and profit-sharing plans"),
    ("20a", "Rent: Vehicles, machinery, equipment"),
    ("20b", "Rent: Other business property"),
    ("21", "Repairs and maintenance"),
    ("22", "Supplies (not included in Part III)"),
    ("23", "Taxes and licenses"),
    ("24a", "Travel"),
    ("24b", "Deductible meals (see instructions)"),
    ("25", "Utilities"),
    ("26", "Wages (less employment credits)"),
)


def _lettered(s: PdfBook, y: float, letter: str, label: str, value: str, end: float) -> None:
    s.text(LEFT + 4, y - 8, letter, 7.5, "B")
    s.text(LEFT + 20, y - 8, label, 6.8)
    s.text(LEFT + 24, y - 19, value, 9, "M")
    s.line(LEFT, y - 22, end, y - 22)


def _top(s: PdfBook, who: Household) -> float:
    y = schedule_head(
        s,
        "SCHEDULE C",
        "(Form 1040)",
        "Profit or Loss From Business",
        (
            "(Sole Proprietorship)",
            "Attach to Form 1040, 1040-SR, 1040-SS, 1040-NR, or 1041;",
            "partnerships must generally file Form 1065.",
        ),
        "09",
    )
    s.text(LEFT, y - 8, "Name of proprietor", 6.5)
    s.text(LEFT + 4, y - 19, who.taxpayer, 9, "M")
    s.line(440, y, 440, y - 66)
    s.text(444, y - 8, "Social security number (SSN)", 6.5, "B")
    s.text(510, y - 19, who.taxpayer_ssn, 9.5, "M", "c")
    s.line(LEFT, y - 22, RIGHT, y - 22)
    y -= 22
    _lettered(s, y, "A", "Principal business or profession", "Book binding and paper repair", RIGHT)
    s.text(444, y - 8, "B  Enter code from instructions", 6.8, "B")
    s.rect(462, y - 21, 96, 11)
    s.cells(462, y - 21, 96, 11, 6)
    s.blank(Blank(462, y - 21, 96, 11, "323100", comb=6))
    y -= 22
    _lettered(s, y, "C", "Business name. If no separate name, leave blank.", "Venn Bindery", RIGHT)
    s.text(444, y - 8, "D  Employer ID number (EIN)", 6.8, "B")
    s.rect(446, y - 21, 126, 11)
    s.cells(446, y - 21, 126, 11, 9)
    s.blank(Blank(446, y - 21, 126, 11, digits(BUSINESS_EIN), comb=9))
    y -= 22
    _lettered(s, y, "E", "Business address", f"{who.street}, {who.city_line}", RIGHT)
    y -= 22
    s.text(LEFT + 4, y - 10, "F", 7.5, "B")
    s.text(LEFT + 20, y - 10, "Accounting method:", 7)
    s.choices(140, y - 10, (("(1) Cash", True), ("(2) Accrual", False), ("(3) Other", False)))
    for letter, words, yes in (
        ("G", 'Did you "materially participate" in the operation of this business during 2025?', 1),
        ("H", "If you started or acquired this business during 2025, check here", None),
        ("I", "Did you make any payments in 2025 that would require you to file Form(s) 1099?", 1),
        ("J", 'If "Yes," did you or will you file required Form(s) 1099?', 1),
    ):
        y -= 12
        s.text(LEFT + 4, y - 10, letter, 7.5, "B")
        s.text(LEFT + 20, y - 10, words, 7)
        if yes is None:
            s.check(500, y - 11)
        else:
            s.choices(500, y - 10, (("Yes", yes == 1), ("No", yes == 0)))
    return y - 15


def _expenses(s: PdfBook, y: float, b: Business) -> float:
    left = Ladder(s, y, left=LEFT, text=LEFT + 22, right=303, amount=58, number=22, step=14.5)
    right = Ladder(s, y, left=310, text=330, amount=60, number=22, step=14.5)
    for rows, lines in ((left, LEFT_EXPENSES), (right, RIGHT_EXPENSES)):
        for number, words in lines:
            rows.row(number, words, b.expenses.get(number))
    right.row("27a", "Energy efficient commercial bldgs")
    right.row("27b", "Other expenses (from line 48)", b.other_total)
    s.line(306, y, 306, right.y)
    return right.y


def first_page(s: PdfBook, who: Household, f: Figures) -> None:
    """Schedule C, page 1."""
    b = f.business
    if b is None:
        return
    y = bar(s, _top(s, who), "Part I", "Income")
    rows = Ladder(s, y, step=14)
    rows.row(
        "1",
        "Gross receipts or sales. See instructions for line 1 and check the box if this income\n"
        'was reported to you on Form W-2 and the "Statutory employee" box was checked',
        b.receipts,
    )
    rows.row("2", "Returns and allowances", b.returns)
    rows.row("3", "Subtract line 2 from line 1", b.receipts - b.returns)
    rows.row("4", "Cost of goods sold (from line 42)", b.cost_of_goods)
    rows.row("5", "Gross profit. Subtract line 4 from line 3", b.gross_income, font="B")
    rows.row("6", "Other income, including federal and state gasoline or fuel tax credit or refund")
    rows.row("7", "Gross income. Add lines 5 and 6", b.gross_income, font="B")
    y = bar(
        s,
        rows.y,
        "Part II",
        "Expenses.",
        "Enter expenses for business use of your home only on line 30.",
    )
    rows = Ladder(s, _expenses(s, y, b), step=14.5)
    rows.row(
        "28",
        "Total expenses before expenses for business use of home. Add lines 8 through 27b",
        b.expense_total,
        font="B",
    )
    rows.row("29", "Tentative profit or (loss). Subtract line 28 from line 7", b.profit)
    rows.row(
        "30",
        "Expenses for business use of your home. Do not report these expenses elsewhere.\n"
        "Attach Form 8829 unless using the simplified method. See instructions",
    )
    rows.row(
        "31",
        "Net profit or (loss). Subtract line 30 from line 29. If a profit, enter on both Schedule\n"
        "1 (Form 1040), line 3, and on Schedule SE, line 2. If a loss, you must go to line 32",
        b.profit,
        font="B",
    )
    rows.row(
        "32",
        "If you have a loss, check the box that describes your investment in this activity.",
        where="none",
    )
    y = rows.y - 10
    s.choices(70, y, (("32a  All investment is at risk.", False),))
    s.choices(240, y, (("32b  Some investment is not at risk.", False),))
    page_foot(
        s,
        y - 6,
        "For Paperwork Reduction Act Notice, see the separate instructions.",
        "Cat. No. 11334P",
        "Schedule C (Form 1040) 2025",
    )
    s.turn()


def second_page(s: PdfBook, f: Figures) -> None:
    """Schedule C, page 2."""
    b = f.business
    if b is None:
        return
    y = page_head(s, "Schedule C (Form 1040) 2025", 2)
    y = bar(s, y, "Part III", "Cost of Goods Sold", "(see instructions)")
    s.text(LEFT + 8, y - 14, "33", 7.5, "B")
    s.text(LEFT + 26, y - 14, "Method(s) used to value closing inventory:", 7.5)
    s.choices(230, y - 14, (("a Cost", True), ("b Lower of cost or market", False)))
    s.choices(430, y - 14, (("c Other (attach explanation)", False),))
    s.text(LEFT + 8, y - 32, "34", 7.5, "B")
    s.text(
        LEFT + 26,
        y - 32,
        "Was there any change in determining quantities, costs, or valuations?",
        7.5,
    )
    s.choices(500, y - 32, (("Yes", False), ("No", True)))
    rows = Ladder(s, y - 42, step=22)
    rows.row("35", "Inventory at beginning of year", b.opening)
    rows.row("36", "Purchases less cost of items withdrawn for personal use", b.purchases)
    rows.row("37", "Cost of labor. Do not include any amounts paid to yourself")
    rows.row("38", "Materials and supplies", b.materials)
    rows.row("39", "Other costs")
    rows.row("40", "Add lines 35 through 39", b.cost_of_goods + b.closing)
    rows.row("41", "Inventory at end of year", b.closing)
    rows.row("42", "Cost of goods sold. Subtract line 41 from line 40", b.cost_of_goods, font="B")
    y = bar(
        s,
        rows.y,
        "Part IV",
        "Information on Your Vehicle.",
        "Complete this part only if you are claiming car or truck expenses on line 9.",
    )
    y = _vehicle(s, y)
    y = bar(
        s,
        y,
        "Part V",
        "Other Expenses.",
        "List below business expenses not included on lines 8-27a, or line 30.",
    )
    for index in range(9):
        words, amount = b.other[index] if index < len(b.other) else ("", None)
        y -= 18
        s.text(LEFT + 8, y + 5, words, 9, "M")
        s.text(RIGHT - 4, y + 5, "" if amount is None else f"{amount:,}", 9, "M", "r")
        s.line(LEFT, y, 500, y, 0.4, (1, 2))
        s.line(510, y, RIGHT, y, 0.4)
    rows = Ladder(s, y, step=18)
    rows.row("48", "Total other expenses. Enter here and on line 27b", b.other_total, font="B")
    page_foot(s, rows.y - 6, "", "", "Schedule C (Form 1040) 2025")
    s.turn()


def _vehicle(s: PdfBook, y: float) -> float:
    lines = (
        (
            "43",
            "When did you place your vehicle in service for business purposes?    05 / 11 / 2021",
        ),
        ("44", "Of the total number of miles you drove your vehicle during 2025, enter the miles:"),
        ("", "a  Business      2,090        b  Commuting      0        c  Other      7,412"),
        ("45", "Was your vehicle available for personal use during off-duty hours?"),
        ("46", "Do you (or your spouse) have another vehicle available for personal use?"),
        ("47a", "Do you have evidence to support your deduction?"),
        ("b", 'If "Yes," is the evidence written?'),
    )
    for number, words in lines:
        y -= 20
        s.text(LEFT + 18, y + 6, number, 7.5, "B", "r")
        s.text(LEFT + 26, y + 6, words, 7.5)
        if number in ("45", "46", "47a", "b"):
            s.choices(500, y + 6, (("Yes", True), ("No", False)))
    return y - 4
