"""Form 8879, e-file signature authorization: fields for amounts, PINs, signatures, dates."""

from making.figures import Figures
from making.layout import LEFT, RIGHT, FieldNames, Ladder, bar, digits, money, page_foot
from making.numbers import ERO_EFIN, ERO_PIN, FIRM, Household
from making.pdf_book import PdfBook
from making.sheet import Blank

DECLARATION = (
    "Under penalties of perjury, I declare that I have examined a copy of the income tax return "
    "(original or amended) I am now authorizing, and to the best of my knowledge and belief, it is "
    "true, correct, and complete. I further declare that the amounts in Part I above are the "
    "amounts from the income tax return (original or amended) I am now authorizing. I consent to "
    "allow my intermediate service provider, transmitter, or electronic return originator (ERO) to "
    "send my return to the IRS and to receive from the IRS (a) an acknowledgment of receipt or "
    "reason for rejection of the transmission, (b) the reason for any delay in processing the "
    "return or refund, and (c) the date of any refund. I further acknowledge that the personal "
    "identification number (PIN) below is my signature for the income tax return (original or "
    "amended) I am now authorizing and, if applicable, my Electronic Funds Withdrawal Consent."
)
ERO_STATEMENT = (
    "I certify that the above numeric entry is my PIN, which is my signature for the electronic "
    "individual income tax return (original or amended) I am now authorized to file for tax year "
    "indicated above for the taxpayer(s) indicated above. I confirm that I am submitting this "
    "return in accordance with the requirements of the Practitioner PIN method and Pub. 1345, "
    "Handbook for Authorized IRS e-file Providers of Individual Income Tax Returns."
)


def _head(s: PdfBook, names: FieldNames, who: Household) -> float:
    s.text(LEFT, 736, "Form", 7)
    s.text(LEFT + 20, 736, "8879", 22, "B")
    s.text(LEFT, 726, "(Rev. January 2021)", 6.5)
    s.text(LEFT, 714, "Department of the Treasury", 6)
    s.text(LEFT, 707, "Internal Revenue Service", 6)
    s.line(140, 704, 140, 756)
    s.text(300, 740, "IRS e-file Signature Authorization", 14, "B", "c")
    s.text(300, 724, "ERO must obtain and retain completed Form 8879.", 7.5, "B", "c")
    s.text(300, 712, "Go to www.irs.gov/Form8879 for the latest information.", 7.5, "B", "c")
    s.line(470, 704, 470, 756)
    s.text(523, 742, "OMB No. 1545-0074", 7, "R", "c")
    s.line(470, 736, RIGHT, 736)
    s.text(523, 714, "2025", 20, "B", "c")
    s.line(LEFT, 704, RIGHT, 704, 1.0)
    s.text(LEFT, 692, "Submission Identification Number (SID)", 8, "B")
    s.rect(200, 688, 376, 13)
    s.cells(200, 688, 376, 13, 20)
    s.blank(Blank(200, 688, 376, 13, "", names.next(), comb=20))
    y = 684.0
    for label, number_label, name, number in (
        ("Taxpayer's name", "Social security number", who.taxpayer, who.taxpayer_ssn),
        (
            "Spouse's name",
            "Spouse's social security number",
            who.spouse if who.spouse_first else "",
            who.spouse_ssn,
        ),
    ):
        s.line(LEFT, y, RIGHT, y)
        s.text(LEFT, y - 8, label, 6.8)
        s.blank(Blank(LEFT + 2, y - 23, 390, 14, name, names.next(), size=9.5))
        s.line(440, y, 440, y - 24)
        s.text(444, y - 8, number_label, 6.8, "B")
        s.blank(Blank(446, y - 23, 126, 14, number, names.next(), size=9.5, align="c"))
        y -= 24
    return y


def _pins(s: PdfBook, names: FieldNames, y: float, whose: str, role: str, pin: str) -> float:
    """One signer: the PIN authorization, then the signature line; gives the y under it."""
    s.text(LEFT, y - 11, f"{whose} PIN: check one box only", 8, "B")
    y -= 26
    s.check(54, y, bool(pin))
    s.text(66, y + 0.5, "I authorize", 7.5)
    s.text(108, y + 1, FIRM if pin else "", 8.5, "M")
    s.line(106, y - 2, 330, y - 2)
    s.text(218, y - 9, "ERO firm name", 6, "R", "c")
    s.text(335, y + 0.5, "to enter or generate my PIN", 7.5)
    s.rect(442, y - 2, 70, 14, lw=0.8)
    s.cells(442, y - 2, 70, 14, 5)
    s.blank(Blank(442, y - 2, 70, 14, pin, names.next(), comb=5, size=10))
    s.text(518, y + 0.5, "as my", 7.5)
    s.text(477, y - 9, "Enter five digits, but don't enter all zeros", 5, "R", "c")
    y -= 17
    s.text(
        66,
        y,
        "signature on the income tax return (original or amended) I am now authorizing.",
        7.5,
    )
    y -= 13
    s.check(54, y, False)
    s.text(
        66,
        y + 0.5,
        "I will enter my PIN as my signature on the income tax return. Check this box only if you "
        "are entering your own PIN and your return is filed",
        7.5,
        fit=506,
    )
    s.text(
        66, y - 9, "using the Practitioner PIN method. The ERO must complete Part III below.", 7.5
    )
    y -= 38
    s.text(LEFT, y + 4, f"{whose} signature", 8, "B")
    s.line(126, y, 410, y)
    s.blank(
        Blank(
            126,
            y,
            284,
            24,
            name=f"{role}_signature_8879",
            signature=True,
            tooltip=f"{whose} signature",
        )
    )
    s.text(418, y + 4, "Date", 8, "B")
    s.line(440, y, RIGHT, y)
    s.blank(Blank(440, y, 130, 16, name=f"{role}_sign_date_8879", size=10))
    return y - 6


def form_8879(s: PdfBook, who: Household, f: Figures, pins: tuple[str, str]) -> None:
    """One page. `pins` are the taxpayer's and the spouse's five digits."""
    names = FieldNames("f8879.f1")
    y = _head(s, names, who)
    y = bar(
        s,
        y,
        "Part I",
        "Tax Return Information — Tax Year Ending December 31, 2025",
        "(Enter year you are authorizing.)",
    )
    s.text(LEFT, y - 9, "Enter whole dollars only on lines 1 through 5.", 7.5)
    rows = Ladder(s, y - 12, step=14, names=names)
    rows.row("1", "Adjusted gross income", f.agi)
    rows.row("2", "Total tax", f.total_tax)
    rows.row("3", "Federal income tax withheld from Form(s) W-2 and Form(s) 1099", f.withheld)
    rows.row("4", "Amount you want refunded to you", value=money(f.refund or None))
    rows.row("5", "Amount you owe", value=money(f.owed or None))
    y = bar(
        s,
        rows.y,
        "Part II",
        "Taxpayer Declaration and Signature Authorization",
        "(Be sure you get and keep a copy of your return)",
    )
    y = s.para(LEFT, y - 9, 540, DECLARATION, 6.9, leading=8.2)
    y = _pins(s, names, y, "Taxpayer's", "taxpayer", pins[0])
    y = _pins(s, names, y, "Spouse's", "spouse", pins[1])
    s.text(306, y - 4, "Practitioner PIN Method Returns Only—continue below", 7.5, "B", "c")
    y = bar(
        s,
        y - 9,
        "Part III",
        "Certification and Authentication — Practitioner PIN Method Only",
    )
    s.text(LEFT, y - 14, "ERO's EFIN/PIN. Enter your six-digit EFIN followed by your", 7.5, "B")
    s.text(LEFT, y - 23, "five-digit self-selected PIN.", 7.5, "B")
    s.rect(400, y - 22, 154, 15, lw=0.8)
    s.cells(400, y - 22, 154, 15, 11)
    efin = digits(ERO_EFIN + ERO_PIN)
    s.blank(Blank(400, y - 22, 154, 15, efin, names.next(), comb=11, size=10))
    s.text(477, y - 29, "Don't enter all zeros", 6, "R", "c")
    y = s.para(LEFT, y - 38, 540, ERO_STATEMENT, 6.9, leading=8.2)
    y -= 20
    s.text(LEFT, y + 4, "ERO's signature", 8, "B")
    s.line(126, y, 410, y)
    s.blank(
        Blank(126, y, 284, 24, name="ero_signature_8879", signature=True, tooltip="ERO's signature")
    )
    s.text(418, y + 4, "Date", 8, "B")
    s.line(440, y, RIGHT, y)
    s.blank(Blank(440, y, 130, 16, name="ero_sign_date_8879", size=10))
    s.text(306, y - 13, "ERO Must Retain This Form — See Instructions", 9.5, "B", "c")
    s.text(
        306,
        y - 24,
        "Don't Submit This Form to the IRS Unless Requested To Do So",
        9.5,
        "B",
        "c",
    )
    page_foot(
        s,
        y - 30,
        "For Paperwork Reduction Act Notice, see your tax return instructions.",
        "",
        "Form 8879 (Rev. 01-2021)",
    )
    s.turn()
