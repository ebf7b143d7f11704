"""Pages laid out as the official forms are, with what must be found on each.

Captions are those of the forms (IRS, SSA); places and type sizes follow them
roughly. Numbers are never assigned.
"""

from collections.abc import Callable

from drawn_sheet import DrawnSheet

Found = list[tuple[str, str]]
FORMS: dict[str, Callable[[], tuple[DrawnSheet, Found]]] = {}
SSN, EIN = ("ssn", "000123456"), ("ein", "070000017")


def form(make: Callable[[], tuple[DrawnSheet, Found]]) -> Callable[[], tuple[DrawnSheet, Found]]:
    FORMS[make.__name__.replace("_", " ")] = make
    return make


@form
def w_2() -> tuple[DrawnSheet, Found]:
    page = DrawnSheet()
    page.text(40, 50, "a Employee\u2019s social security number", 6).text(60, 64, "000-12-3456")
    page.text(40, 80, "b Employer identification number (EIN)", 6).text(60, 94, "07-0000017")
    page.text(300, 80, "1 Wages, tips, other compensation", 6).text(310, 94, "84200.00")
    page.text(420, 80, "2 Federal income tax withheld", 6).text(430, 94, "12345")
    page.text(40, 110, "c Employer\u2019s name, address, and ZIP code", 6)
    page.text(60, 124, "Alder Tree").text(60, 136, "Springfield, ST 00000-1234")
    page.text(300, 110, "3 Social security wages", 6).text(310, 124, "84200")
    page.text(40, 165, "d Control number", 6).text(60, 178, "123456780")
    page.text(40, 260, "15 State", 6).text(80, 260, "Employer\u2019s state ID number", 6)
    page.text(45, 272, "ST").text(82, 272, "123456780")
    return page, [SSN, EIN]


@form
def form_1099_int() -> tuple[DrawnSheet, Found]:
    page = DrawnSheet()
    page.text(40, 50, "PAYER\u2019S TIN", 6).text(160, 50, "RECIPIENT\u2019S TIN", 6)
    page.text(300, 50, "1 Interest income", 6).text(310, 64, "1234567")
    page.text(50, 64, "07-0000017").text(170, 64, "000-12-3456")
    page.text(40, 90, "RECIPIENT\u2019S name", 6).text(50, 104, "Jane Sample")
    page.text(40, 150, "Account number (see instructions)", 6).text(60, 164, "0088412073")
    page.text(300, 150, "11 Bond premium", 6).text(310, 164, "12345")
    return page, [EIN, SSN, ("account", "0088412073")]


@form
def form_1098() -> tuple[DrawnSheet, Found]:
    page = DrawnSheet()
    page.text(40, 50, "RECIPIENT\u2019S/LENDER\u2019S TIN", 6).text(50, 64, "07-0000017")
    page.text(180, 50, "PAYER\u2019S/BORROWER\u2019S TIN", 6).text(190, 64, "000123456")
    page.text(320, 50, "2 Outstanding mortgage principal", 6).text(330, 64, "184200")
    return page, [EIN, SSN]


@form
def form_1040_head() -> tuple[DrawnSheet, Found]:
    page = DrawnSheet()
    page.text(450, 50, "Your social security number", 7).text(452, 64, "000123456", pitch=12)
    page.text(450, 76, "Spouse\u2019s social security number", 7)
    page.text(452, 90, "666123457", pitch=12)
    page.text(300, 104, "State", 7).text(380, 104, "ZIP code", 7)
    page.text(302, 118, "ST").text(382, 118, "000001234")
    return page, [SSN, ("ssn", "666123457")]


@form
def form_1040_refund() -> tuple[DrawnSheet, Found]:
    page = DrawnSheet()
    page.text(40, 50, "35a Amount of line 34 you want refunded").text(510, 50, "1,234")
    page.text(40, 64, "b").text(55, 64, "Routing number").text(150, 64, "021000021", pitch=14)
    page.text(320, 64, "c Type:").text(370, 64, "Checking").text(430, 64, "Savings")
    page.text(40, 78, "d").text(55, 78, "Account number").text(150, 78, "12345678901", pitch=14)
    return page, [("account", "12345678901")]


@form
def dependents() -> tuple[DrawnSheet, Found]:
    page = DrawnSheet()
    page.text(40, 50, "(1) First name", 7).text(200, 50, "(2) Social security number", 7)
    for row, number in enumerate(["000123451", "000-12-3452", "000 12 3453", "0 0 0 1 2 3 4 5 4"]):
        y = 64 + 14 * row
        page.text(42, y, "Kid").text(202, y, number).text(332, y, "child")
    return page, [("ssn", f"00012345{k}") for k in (1, 2, 3, 4)]


@form
def form_8879() -> tuple[DrawnSheet, Found]:
    page = DrawnSheet()
    page.text(40, 50, "I authorize Sample Tax to enter or generate my PIN")
    page.text(330, 50, "41827", pitch=15).text(420, 50, "as my signature")
    page.text(
        40, 120, "ERO\u2019s EFIN/PIN. Enter your six-digit EFIN followed by your five-digit PIN."
    )
    page.text(330, 140, "00071412345", pitch=15)
    return page, [("ip-pin", "41827"), ("ip-pin", "00071412345")]


@form
def ssa_1099() -> tuple[DrawnSheet, Found]:
    page = DrawnSheet()
    page.text(300, 50, "Box 2. Beneficiary\u2019s Social Security Number", 7)
    page.text(302, 64, "000-12-3456")
    page.text(40, 300, "Box 8. Claim Number (Use this number to contact SSA.)", 7)
    page.text(42, 314, "000-12-3456A")
    page.text(300, 300, "Box 6. Voluntary Federal Income Tax Withheld", 7).text(302, 314, "12345")
    return page, [SSN, SSN]


@form
def form_1095_a() -> tuple[DrawnSheet, Found]:
    page = DrawnSheet()
    page.text(200, 50, "2 Marketplace-assigned policy number", 7).text(202, 64, "123456")
    page.text(400, 50, "3 Policy issuer\u2019s name", 7).text(402, 64, "Sample Health")
    page.text(300, 80, "5 Recipient\u2019s SSN", 7).text(302, 94, "000-12-3456")
    page.text(400, 80, "6 Recipient\u2019s date of birth", 7).text(402, 94, "01/02/1980")
    return page, [("account", "123456"), SSN]


@form
def schedule_k_1() -> tuple[DrawnSheet, Found]:
    page = DrawnSheet()
    page.text(52, 50, "Partnership\u2019s employer identification number", 8)
    page.text(52, 64, "07-0000017")
    page.text(52, 80, "Partner\u2019s SSN or TIN (Do not use TIN of a disregarded entity.)", 8)
    page.text(52, 94, "000123456")
    page.text(340, 80, "Ordinary business income (loss)", 8).text(350, 94, "123456")
    return page, [EIN, SSN]


@form
def w_9_in_three_fields() -> tuple[DrawnSheet, Found]:
    page = DrawnSheet()
    page.text(400, 50, "Social security number", 8)
    page.text(400, 66, "000", pitch=14).text(460, 66, "12", pitch=14).text(
        505, 66, "3456", pitch=14
    )
    return page, [SSN]


@form
def brokerage_table() -> tuple[DrawnSheet, Found]:
    page = DrawnSheet()
    page.text(40, 50, "Account number", 7).text(200, 50, "Amount", 7).text(330, 50, "CUSIP", 7)
    for row in range(5):
        y = 64 + 12 * row
        page.text(42, y, f"0088{row}412").text(202, y, "123456").text(332, y, f"03783310{row}")
    return page, [("account", f"0088{row}412") for row in range(5)]
