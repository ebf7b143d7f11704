"""Every identifying number that the sample folders show, and why it can be nobody's.

Taxpayer numbers use area 000, 666 or 9xx, group 00 or serial 0000, which the Social
Security Administration never assigns (POMS RM 10201.035), or the range 987-65-4320 to
-4329 that is kept for advertising. Employer numbers use prefixes that the IRS does not
list, and have group 00 too when they are read as taxpayer numbers. Routing numbers and
cards are published test values. ZIP codes end in 00, so that even ZIP+4 read as nine
digits has group 00. Telephones use 555-01xx.
"""

from dataclasses import dataclass

# The joint return.
TAXPAYER_SSN = "666-12-3481"
SPOUSE_SSN = "000-45-2718"
FIRST_CHILD_SSN = "412-00-7305"
SECOND_CHILD_SSN = "543-21-0000"
LANDLORD_SSN = "666-30-1946"
TAXPAYER_IP_PIN = "418203"
SPOUSE_IP_PIN = "507116"
TAXPAYER_SIGNING_PIN = "41827"
SPOUSE_SIGNING_PIN = "60935"
ERO_EFIN = "000714"
ERO_PIN = "27134"
JOINT_ROUTING = "021000021"
JOINT_ACCOUNT = "7700412839"
CHECK_NUMBER = "1047"
INTEREST_ACCOUNT = "0088412073"
CREDIT_UNION_ACCOUNT = "3000-017-80"
DIVIDEND_ACCOUNT = "5520-00-418"
MORTGAGE_ACCOUNT = "1100529047716"
RECEIPT_CARD = "4012888888881881"
SCAN_CARD = "4111111111111111"
LICENSE_NUMBER = "RX418207"

# The single filer.
SINGLE_SSN = "987-65-4321"
SINGLE_ROUTING = "111000025"
SINGLE_ACCOUNT = "3300918264"
SINGLE_SIGNING_PIN = "29058"

# Firms. None of these prefixes is on the list of the IRS; the fourth and fifth digit are 00.
SURVEYOR_EIN = "00-4007263"
LIBRARY_EIN = "07-3009264"
BUSINESS_EIN = "49-2006851"
BANK_EIN = "08-1007305"
CREDIT_UNION_EIN = "18-2004416"
FUND_EIN = "17-5008418"
LENDER_EIN = "28-6004937"
PREPARER_FIRM_EIN = "09-7001320"
PREPARER_PTIN = "P00004172"
BAKERY_EIN = "19-3008471"

# What only looks like a taxpayer number, and stays.
INVOICE_NUMBER = "900417263"
SINGLE_INVOICE_NUMBER = "900417268"
W2_CONTROL_NUMBER = "000118 LGN/77"
OHIO_WITHHOLDING_ID = "00-481726"
PREPARER_PHONE = "614-555-0119"
HOME_PHONE = "614-555-0142"
SINGLE_PHONE = "850-555-0166"
BANK_PHONE = "614-555-0160"
HOME_ZIP4 = "43200-0418"
PREPARER_ZIP4 = "43100-0127"


@dataclass(frozen=True)
class Household:
    """The people on one return and where they live."""

    taxpayer_first: str
    last: str
    taxpayer_ssn: str
    street: str
    city: str
    state: str
    zip_code: str
    phone: str
    taxpayer_occupation: str
    spouse_first: str = ""
    spouse_ssn: str = ""
    spouse_occupation: str = ""
    taxpayer_ip_pin: str = ""
    spouse_ip_pin: str = ""
    routing: str = ""
    account: str = ""
    dependents: tuple[tuple[str, str, str], ...] = ()
    """First name, number, relationship; they share the last name."""

    @property
    def names(self) -> str:
        """As it stands in the name line of a schedule."""
        if self.spouse_first:
            return f"{self.taxpayer_first} & {self.spouse_first} {self.last}"
        return f"{self.taxpayer_first} {self.last}"

    @property
    def taxpayer(self) -> str:
        return f"{self.taxpayer_first} {self.last}"

    @property
    def spouse(self) -> str:
        return f"{self.spouse_first} {self.last}"

    @property
    def city_line(self) -> str:
        return f"{self.city}, {self.state} {self.zip_code}"


VENN = Household(
    taxpayer_first="Dorothea L",
    last="Venn",
    taxpayer_ssn=TAXPAYER_SSN,
    street="418 Thistledown Lane",
    city="Millbrook Falls",
    state="OH",
    zip_code="43200",
    phone=HOME_PHONE,
    taxpayer_occupation="Bookbinder",
    spouse_first="Casimir J",
    spouse_ssn=SPOUSE_SSN,
    spouse_occupation="Land surveyor",
    taxpayer_ip_pin=TAXPAYER_IP_PIN,
    spouse_ip_pin=SPOUSE_IP_PIN,
    routing=JOINT_ROUTING,
    account=JOINT_ACCOUNT,
    dependents=(
        ("Odile P", FIRST_CHILD_SSN, "Daughter"),
        ("Tobias A", SECOND_CHILD_SSN, "Son"),
    ),
)

PELL = Household(
    taxpayer_first="Leander M",
    last="Pell",
    taxpayer_ssn=SINGLE_SSN,
    street="27 Gannet Court, Apt. 3",
    city="Sandy Hollow",
    state="FL",
    zip_code="33500",
    phone=SINGLE_PHONE,
    taxpayer_occupation="Pastry cook",
    routing=SINGLE_ROUTING,
    account=SINGLE_ACCOUNT,
)

FIRM = "Larkspur & Dunmore Tax Office"
FIRM_STREET = "127 Canal Street, Suite 2"
FIRM_CITY = f"Millbrook Falls, OH {PREPARER_ZIP4}"
PREPARER = "Hester Brandt, EA"
