"""Form 1040-V, the payment voucher: a page that is itself to be sent with a payment."""

from making.figures import Figures
from making.layout import LEFT, RIGHT, money
from making.numbers import Household
from making.pdf_book import PdfBook


def form_1040_v(s: PdfBook, who: Household, f: Figures) -> None:
    """One page: advice above, the slip below the cutting line."""
    s.text(LEFT, 730, "2025 Form 1040-V", 24, "B")
    s.text(RIGHT, 738, "Department of the Treasury", 9, "R", "r")
    s.text(RIGHT, 726, "Internal Revenue Service", 9, "B", "r")
    s.line(LEFT, 718, RIGHT, 718, 1.2)
    y = 700.0
    for head, words in (
        (
            "What Is Form 1040-V",
            "It is a statement you send with your check or money order for any balance due on the "
            '"Amount you owe" line of your Form 1040, 1040-SR, or 1040-NR.',
        ),
        (
            "How To Prepare Your Payment",
            'Make your check or money order payable to "United States Treasury." Do not send cash. '
            "Enter your daytime phone number and your SSN on your check or money order. If you are "
            "filing a joint return, enter the SSN shown first on your return. Also enter "
            '"2025 Form 1040."',
        ),
        (
            "How To Send In Your Payment and Form 1040-V",
            "Detach Form 1040-V along the dotted line. Do not staple or otherwise attach your "
            "payment or Form 1040-V to your return or to each other. Mail them to the address "
            "shown in the instructions for the place where you live.",
        ),
    ):
        s.text(LEFT, y, head, 11, "B")
        y = s.para(LEFT, y - 14, 530, words, 9, leading=11.5) - 10
    s.text(LEFT, 336, "Cat. No. 20975C", 7)
    s.text(RIGHT, 336, "Form 1040-V (2025)", 7, "B", "r")
    s.line(LEFT, 326, RIGHT, 326, 0.8, (4, 3))
    s.text(306, 314, "Detach Here and Mail With Your Payment and Return", 8, "B", "c")
    _slip(s, who, f)
    s.turn()


def _slip(s: PdfBook, who: Household, f: Figures) -> None:
    top = 300.0
    s.text(LEFT, top - 18, "Form", 6.5)
    s.text(LEFT + 18, top - 22, "1040-V", 20, "B")
    s.text(LEFT, top - 32, "Department of the Treasury", 5.8)
    s.text(LEFT, top - 39, "Internal Revenue Service", 5.8)
    s.line(140, top - 42, 140, top)
    s.text(306, top - 16, "Payment Voucher", 13, "B", "c")
    s.text(
        306,
        top - 32,
        "Do not staple or attach this voucher to your payment or return.",
        8,
        "B",
        "c",
    )
    s.line(486, top - 42, 486, top)
    s.text(531, top - 10, "OMB No. 1545-0074", 6.5, "R", "c")
    s.text(531, top - 34, "2025", 20, "B", "c")
    s.line(LEFT, top - 42, RIGHT, top - 42, 1.0)
    y = top - 42
    cells = (
        (LEFT + 18, 128.0, "1  Your social security number (SSN)", who.taxpayer_ssn),
        (182.0, 130.0, "2  If a joint return, SSN shown second on your return", who.spouse_ssn),
        (312.0, 130.0, "3  Amount you are paying by check or money order", ""),
        (442.0, 90.0, "Dollars", money(f.owed)),
        (532.0, 44.0, "Cents", "00"),
    )
    for x, width, label, value in cells:
        s.rect(x, y - 32, width, 32, lw=1.0 if x > 400 else 0.5)
        s.text(x + 3, y - 8, label, 6.5, fit=width - 6)
        s.text(x + 8, y - 25, value, 11, "M")
    y -= 32
    lines = (
        (
            (LEFT + 18, 250.0, "4  Your first name and middle initial", who.taxpayer_first),
            (304.0, 272.0, "Last name", who.last),
        ),
        (
            (
                LEFT + 18,
                250.0,
                "If a joint return, spouse's first name and middle initial",
                who.spouse_first,
            ),
            (304.0, 272.0, "Last name", who.last),
        ),
        (
            (LEFT + 18, 250.0, "Home address (number and street)", who.street),
            (304.0, 272.0, "City, town or post office, state, and ZIP code", who.city_line),
        ),
    )
    for line in lines:
        for x, width, label, value in line:
            s.rect(x, y - 26, width, 26)
            s.text(x + 3, y - 8, label, 6.5)
            s.text(x + 8, y - 21, value, 10, "M")
        y -= 26
    s.rect(LEFT, y, 18, top - 42 - y)
    s.upright(LEFT + 12, y + 30, "Print or type", 7.5, "B")
    s.text(LEFT, y - 10, "For Paperwork Reduction Act Notice, see your tax return instructions.", 7)
    s.text(RIGHT, y - 10, "Form 1040-V (2025)", 7, "B", "r")
