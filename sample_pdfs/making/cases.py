"""What the two invented clients earned and spent."""

from decimal import Decimal

from making.figures import Business, Figures, OhioFigures, Wages

SURVEYOR_WAGES = Wages(
    gross=Decimal("75086.00"),
    deferred=Decimal("3600.00"),
    federal=Decimal("5140.18"),
    state_tax=Decimal("1902.44"),
    local_rate=Decimal("0.02"),
)
LIBRARY_WAGES = Wages(
    gross=Decimal("18240.00"),
    deferred=Decimal("0.00"),
    federal=Decimal("912.00"),
    state_tax=Decimal("396.10"),
    local_rate=Decimal("0.02"),
)
BINDERY = Business(
    receipts=48_720,
    returns=315,
    opening=2_140,
    purchases=5_212,
    materials=1_386,
    closing=2_018,
    expenses={
        "8": 640,
        "9": 1_463,
        "15": 1_128,
        "17": 425,
        "18": 388,
        "20b": 8_400,
        "21": 274,
        "22": 1_917,
        "23": 150,
        "24a": 512,
        "24b": 143,
        "25": 1_204,
    },
    other=(
        ("Trade guild dues", 245),
        ("Online shop fees", 861),
        ("Postage and shipping", 1_307),
    ),
)
BANK_INTEREST = Decimal("1284.07")
CREDIT_UNION_INTEREST = Decimal("311.60")
FUND_DIVIDENDS = Decimal("1912.36")
FUND_QUALIFIED = Decimal("1540.10")
MORTGAGE_INTEREST = Decimal("8146.33")

JOINT = Figures(
    status="joint",
    wages=(LIBRARY_WAGES, SURVEYOR_WAGES),
    interest=(
        ("Lowland Savings Bank", BANK_INTEREST),
        ("Harbor Light Credit Union", CREDIT_UNION_INTEREST),
    ),
    dividends=(("Cairn Index Fund", FUND_DIVIDENDS),),
    qualified=FUND_QUALIFIED,
    business=BINDERY,
    student_loan=640,
    children=2,
    estimated=1_200,
)
OHIO = OhioFigures(federal=JOINT, exemptions=4)

BAKERY_WAGES = Wages(
    gross=Decimal("41870.50"),
    deferred=Decimal("1200.00"),
    federal=Decimal("3312.40"),
)
SINGLE = Figures(status="single", wages=(BAKERY_WAGES,))
