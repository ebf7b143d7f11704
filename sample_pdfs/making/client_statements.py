"""The statements that the invented clients brought in."""

from dataclasses import replace
from decimal import Decimal

from making.cases import (
    BAKERY_WAGES,
    BANK_INTEREST,
    CREDIT_UNION_INTEREST,
    FUND_DIVIDENDS,
    FUND_QUALIFIED,
    LIBRARY_WAGES,
    MORTGAGE_INTEREST,
    SURVEYOR_WAGES,
)
from making.numbers import (
    BAKERY_EIN,
    BANK_EIN,
    BANK_PHONE,
    CREDIT_UNION_ACCOUNT,
    CREDIT_UNION_EIN,
    DIVIDEND_ACCOUNT,
    FUND_EIN,
    INTEREST_ACCOUNT,
    LENDER_EIN,
    LIBRARY_EIN,
    MORTGAGE_ACCOUNT,
    OHIO_WITHHOLDING_ID,
    PELL,
    SINGLE_SSN,
    SPOUSE_SSN,
    SURVEYOR_EIN,
    TAXPAYER_SSN,
    VENN,
    W2_CONTROL_NUMBER,
)
from making.payer_statements import Payer, Statement, statement
from making.pdf_book import PdfBook
from making.raster_sheet import RasterSheet, picture_pdf, scanned
from making.wage_statement import Employer, wage_barcode, wage_statement

NOTHING = Decimal(0)
SURVEYOR = Employer(
    name="Aldertree Surveying LLC",
    ein=SURVEYOR_EIN,
    street="300 Meridian Road",
    city="Fenwick, OH 43100",
    state="OH",
    state_id=OHIO_WITHHOLDING_ID,
    control=W2_CONTROL_NUMBER,
    locality="MILLBROOK",
)
LIBRARY = Employer(
    name="Fenwick County Library District",
    ein=LIBRARY_EIN,
    street="9 Exchange Row",
    city="Millbrook Falls, OH 43200",
    state="OH",
    state_id="00-315092",
    locality="MILLBROOK",
)
BAKERY = Employer(
    name="Three Gables Bakery Inc",
    ein=BAKERY_EIN,
    street="88 Pier Avenue",
    city="Sandy Hollow, FL 33500",
    state="FL",
    state_id="",
    control="0412 SH",
)


def surveyor_w2() -> bytes:
    """A W-2 as text."""
    s = PdfBook("Form W-2", SURVEYOR.name)
    wage_statement(s, VENN.spouse, SPOUSE_SSN, VENN, SURVEYOR_WAGES, SURVEYOR)
    s.turn()
    return s.finish()


def library_w2() -> bytes:
    """A W-2 as nothing but a scan, with a bar code that carries its boxes."""
    s = RasterSheet()
    args = (VENN.taxpayer, TAXPAYER_SSN, VENN, LIBRARY_WAGES, LIBRARY)
    wage_statement(s, *args, top=716)
    symbol = wage_barcode(*args)
    width = 156.0
    s.paste(symbol, 40, 312, width, width * symbol.height / symbol.width)
    return picture_pdf(scanned(s.image, seed=20250131), quality=55)


def bakery_w2() -> bytes:
    """The single filer's W-2 as text."""
    s = PdfBook("Form W-2", BAKERY.name)
    wage_statement(s, PELL.taxpayer, SINGLE_SSN, PELL, BAKERY_WAGES, BAKERY)
    s.turn()
    return s.finish()


def interest() -> bytes:
    """Two Forms 1099-INT, one for each spouse."""
    kind = Statement(
        form="1099-INT",
        advice="Box 1 shows taxable interest paid to you during the calendar year by the payer.",
        title=("Interest", "Income"),
        omb="1545-0112",
        recipient="RECIPIENT",
        payer="PAYER",
        boxes=(
            ("1 Interest income", BANK_INTEREST),
            ("2 Early withdrawal penalty", NOTHING),
            ("3 Interest on U.S. Savings Bonds", NOTHING),
            ("4 Federal income tax withheld", NOTHING),
            ("5 Investment expenses", NOTHING),
            ("6 Foreign tax paid", NOTHING),
            ("8 Tax-exempt interest", NOTHING),
            ("9 Private activity bond interest", NOTHING),
            ("10 Market discount", NOTHING),
            ("11 Bond premium", NOTHING),
            ("15 State", ""),
            ("17 State tax withheld", NOTHING),
        ),
    )
    bank = Payer(
        "Lowland Savings Bank",
        "1 Market Square",
        "Millbrook Falls, OH 43200-0300",
        BANK_EIN,
        BANK_PHONE,
        INTEREST_ACCOUNT,
    )
    s = PdfBook("Form 1099-INT", bank.name)
    statement(s, kind, bank, VENN.taxpayer, VENN)
    union = Payer(
        "Harbor Light Credit Union",
        "40 Quay Street",
        "Fenwick, OH 43100-0040",
        CREDIT_UNION_EIN,
        "614-555-0171",
        CREDIT_UNION_ACCOUNT,
    )
    boxes = (("1 Interest income", CREDIT_UNION_INTEREST), *kind.boxes[1:])
    statement(s, replace(kind, boxes=boxes), union, VENN.spouse, VENN, VENN.spouse_ssn)
    return s.finish()


def dividends() -> bytes:
    """Form 1099-DIV."""
    kind = Statement(
        form="1099-DIV",
        advice="Box 1a shows total ordinary dividends that are taxable. Box 1b shows the part "
        "that may be eligible for reduced tax rates.",
        title=("Dividends and", "Distributions"),
        omb="1545-0110",
        recipient="RECIPIENT",
        payer="PAYER",
        boxes=(
            ("1a Total ordinary dividends", FUND_DIVIDENDS),
            ("1b Qualified dividends", FUND_QUALIFIED),
            ("2a Total capital gain distr.", NOTHING),
            ("2b Unrecap. Sec. 1250 gain", NOTHING),
            ("3 Nondividend distributions", NOTHING),
            ("4 Federal income tax withheld", NOTHING),
            ("5 Section 199A dividends", NOTHING),
            ("6 Investment expenses", NOTHING),
            ("7 Foreign tax paid", NOTHING),
            ("12 Exempt-interest dividends", NOTHING),
            ("14 State", ""),
            ("16 State tax withheld", NOTHING),
        ),
    )
    fund = Payer(
        "Cairn Index Fund",
        "PO Box 900",
        "Fenwick, OH 43100-0900",
        FUND_EIN,
        "800-555-0137",
        DIVIDEND_ACCOUNT,
    )
    s = PdfBook("Form 1099-DIV", fund.name)
    statement(s, kind, fund, VENN.taxpayer, VENN)
    return s.finish()


def mortgage() -> bytes:
    """Form 1098."""
    kind = Statement(
        form="1098",
        advice="A person who receives mortgage interest of $600 or more must furnish this "
        "statement to you. If you received this statement as the payer of record, furnish each of "
        "the other borrowers with information about the proper distribution of amounts.",
        title=("Mortgage", "Interest", "Statement"),
        omb="1545-1380",
        recipient="PAYER'S/BORROWER",
        payer="RECIPIENT'S/LENDER",
        boxes=(
            ("1 Mortgage interest received", MORTGAGE_INTEREST),
            ("2 Outstanding principal", Decimal("171402.18")),
            ("3 Mortgage origination date", "06/15/2017"),
            ("4 Refund of overpaid interest", NOTHING),
            ("5 Mortgage insurance premiums", NOTHING),
            ("6 Points paid on purchase", NOTHING),
            ("7 Address same as borrower's", "X"),
            ("8 Address of property", ""),
            ("9 Number of properties", "1"),
            ("10 Other: property tax", Decimal("3188.40")),
        ),
    )
    lender = Payer(
        "Lowland Home Loans",
        "2 Market Square",
        "Millbrook Falls, OH 43200-0301",
        LENDER_EIN,
        BANK_PHONE,
        MORTGAGE_ACCOUNT,
    )
    s = PdfBook("Form 1098", lender.name)
    statement(s, kind, lender, f"{VENN.taxpayer} and {VENN.spouse}", VENN)
    return s.finish()
