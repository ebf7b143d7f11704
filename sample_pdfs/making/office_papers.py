"""What the office itself writes: letter, invoice, engagement letter, consent to disclose."""

from decimal import Decimal

from making.cases import JOINT, OHIO, SINGLE
from making.layout import money
from making.numbers import (
    FIRM,
    FIRM_CITY,
    FIRM_STREET,
    HOME_ZIP4,
    INVOICE_NUMBER,
    PELL,
    PREPARER,
    PREPARER_PHONE,
    SINGLE_INVOICE_NUMBER,
    VENN,
    Household,
)
from making.pdf_book import PdfBook
from making.sheet import PALE, Blank

EDGE = 72.0
WIDTH = 468.0


def _letterhead(s: PdfBook) -> float:
    s.text(EDGE, 738, FIRM, 17, "T")
    s.text(EDGE, 724, f"{FIRM_STREET} · {FIRM_CITY} · {PREPARER_PHONE}", 8.5, "S")
    s.line(EDGE, 716, 540, 716, 1.2)
    return 690


def _address(s: PdfBook, y: float, date: str, who: Household, zip_code: str) -> float:
    s.text(EDGE, y, date, 10.5, "S")
    y -= 30
    for line in (who.names, who.street, f"{who.city}, {who.state} {zip_code}"):
        s.text(EDGE, y, line, 10.5, "S")
        y -= 14
    return y - 16


def _paragraphs(s: PdfBook, y: float, words: tuple[str, ...]) -> float:
    for part in words:
        y = s.para(EDGE, y, WIDTH, part, 10.5, "S", 14) - 8
    return y


def joint_letter() -> bytes:
    """The letter that goes with the joint return."""
    s = PdfBook("Letter", FIRM)
    y = _address(s, _letterhead(s), "March 3, 2026", VENN, HOME_ZIP4)
    y = _paragraphs(
        s,
        y,
        (
            "Dear Dorothea and Casimir:",
            "Your 2025 federal and Ohio individual income tax returns are ready. Please look "
            "through your copy, then sign and date Form 8879 where marked, so that we may send the "
            "returns electronically.",
            f"Federal return. Your adjusted gross income is ${money(JOINT.agi)} and your total tax "
            f"is ${money(JOINT.total_tax)}. After withholding and estimated payments you owe "
            f"${money(JOINT.owed)}. Please pay it by April 15, 2026 with the enclosed Form 1040-V. "
            "Write the social security number shown first on the return on your check.",
            f"Ohio return. You will receive a refund of ${money(OHIO.refund)} by direct deposit to "
            "the account at Lowland Savings Bank that you named.",
            "Keep your copy and the papers behind it for at least three years. If a tax agency "
            "writes to you, call us before you answer.",
            "Thank you for your trust.",
            "Sincerely,",
        ),
    )
    s.text(EDGE, y - 34, PREPARER, 10.5, "S")
    s.text(EDGE, y - 48, FIRM, 10.5, "S")
    s.text(EDGE, 60, "Enclosures: 2025 returns, Form 1040-V", 9, "U")
    s.turn()
    return s.finish()


def single_letter() -> bytes:
    """The letter that goes with the single filer's return."""
    s = PdfBook("Letter", FIRM)
    y = _address(s, _letterhead(s), "February 20, 2026", PELL, "33500-0003")
    y = _paragraphs(
        s,
        y,
        (
            "Dear Leander:",
            "Your 2025 federal income tax return is ready. Florida has no individual income tax, "
            "so there is no state return.",
            f"Your adjusted gross income is ${money(SINGLE.agi)} and your total tax is "
            f"${money(SINGLE.total_tax)}. You will receive a refund of ${money(SINGLE.refund)} by "
            "direct deposit, usually within three weeks after the return is accepted.",
            "Please sign and date Form 8879 and bring or send it back to us.",
            "Sincerely,",
        ),
    )
    s.text(EDGE, y - 34, PREPARER, 10.5, "S")
    s.turn()
    return s.finish()


def _invoice(
    s: PdfBook, number: str, who: Household, zip_code: str, lines: tuple[tuple[str, Decimal], ...]
) -> None:
    y = _letterhead(s)
    s.text(540, y, "INVOICE", 20, "B", "r")
    for index, (label, value) in enumerate(
        (
            ("Invoice number", number),
            ("Invoice date", "03/03/2026"),
            ("Terms", "Due on receipt"),
            ("Telephone", PREPARER_PHONE),
        )
    ):
        s.text(360, y - 28 - 14 * index, label, 9, "B")
        s.text(540, y - 28 - 14 * index, value, 9.5, "R", "r")
    s.text(EDGE, y - 28, "Bill to", 9, "B")
    for index, line in enumerate((who.names, who.street, f"{who.city}, {who.state} {zip_code}")):
        s.text(EDGE, y - 42 - 13 * index, line, 10)
    y -= 112
    s.rect(EDGE, y - 6, WIDTH, 18, fill=PALE)
    s.text(EDGE + 6, y, "Service", 9, "B")
    s.text(534, y, "Amount", 9, "B", "r")
    for words, amount in lines:
        y -= 20
        s.text(EDGE + 6, y, words, 10)
        s.text(534, y, f"{amount:,.2f}", 10, "R", "r")
        s.line(EDGE, y - 6, 540, y - 6, 0.3, color=(0.6, 0.6, 0.6))
    total = sum((amount for _, amount in lines), Decimal(0))
    y -= 28
    s.text(420, y, "Total due", 11, "B", "r")
    s.text(534, y, f"${total:,.2f}", 11, "B", "r")
    s.rect(428, y - 6, 112, 20)
    s.para(
        EDGE,
        y - 50,
        WIDTH,
        f"Please write invoice {number} on your check. Questions about this invoice: "
        f"{PREPARER_PHONE}. Mail payments to {FIRM}, {FIRM_STREET}, {FIRM_CITY}.",
        9.5,
        leading=13,
    )
    s.turn()


def joint_invoice() -> bytes:
    """An invoice whose number looks like a taxpayer number."""
    s = PdfBook("Invoice", FIRM)
    _invoice(
        s,
        INVOICE_NUMBER,
        VENN,
        HOME_ZIP4,
        (
            ("Form 1040, married filing jointly", Decimal("245.00")),
            ("Schedule B", Decimal("25.00")),
            ("Schedule C and Schedule SE", Decimal("160.00")),
            ("Schedule 8812 and due diligence", Decimal("40.00")),
            ("Ohio IT 1040", Decimal("75.00")),
            ("Electronic filing", Decimal("0.00")),
        ),
    )
    return s.finish()


def single_invoice() -> bytes:
    """A short invoice."""
    s = PdfBook("Invoice", FIRM)
    lines = (("Form 1040, single", Decimal("145.00")), ("Electronic filing", Decimal("0.00")))
    _invoice(s, SINGLE_INVOICE_NUMBER, PELL, "33500-0003", lines)
    return s.finish()


def _signing(s: PdfBook, y: float, prefix: str, spots: tuple[tuple[str, str], ...]) -> None:
    """Signature and date lines with fields, one below the other."""
    for role, label in spots:
        s.line(EDGE, y, 340, y)
        s.text(EDGE, y - 10, label, 8.5, "S")
        s.blank(
            Blank(EDGE, y, 268, 28, name=f"{prefix}{role}_signature", signature=True, tooltip=label)
        )
        s.line(370, y, 540, y)
        s.text(370, y - 10, "Date", 8.5, "S")
        s.blank(Blank(370, y, 170, 18, name=f"{prefix}{role}_sign_date", size=10.5))
        y -= 52


def consent() -> bytes:
    """A consent to disclose tax return information, with the paragraphs that Rev. Proc. 2013-14
    asks for in the office's own wording around them."""
    s = PdfBook("Consent to disclose", FIRM)
    y = _letterhead(s)
    s.text(306, y, "Consent to Disclosure of Tax Return Information", 14, "T", "c")
    y = _paragraphs(
        s,
        y - 26,
        (
            "Federal law requires this consent form be provided to you. Unless authorized by law, "
            "we cannot disclose your tax return information to third parties for purposes other "
            "than the preparation and filing of your tax return without your consent. If you "
            "consent to the disclosure of your tax return information, Federal law may not protect "
            "your tax return information from further use or distribution.",
            "You are not required to complete this form to engage our tax return preparation "
            "services. If we obtain your signature on this form by conditioning our tax return "
            "preparation services on your consent, your consent will not be valid. If you agree to "
            "the disclosure of your tax return information, your consent is valid for the amount "
            "of time that you specify. If you do not specify the duration of your consent, your "
            "consent is valid for one year from the date of signature.",
            "Tax year: 2025. Disclosed: Form 1040, pages 1 and 2, and both Forms W-2.",
            "To whom: Lowland Home Loans, 2 Market Square, Millbrook Falls, OH 43200-0301.",
            "Purpose: to apply for a new home mortgage. Duration: until September 30, 2026.",
            f"Taxpayers: {VENN.taxpayer} (SSN {VENN.taxpayer_ssn}) and {VENN.spouse} (SSN "
            f"{VENN.spouse_ssn}).",
            "If you believe your tax return information has been disclosed or used improperly in a "
            "manner unauthorized by law or without your permission, you may contact the Treasury "
            "Inspector General for Tax Administration (TIGTA) by telephone at 1-800-366-4484, or "
            "by email at complaints@tigta.treas.gov.",
        ),
    )
    spots = (("taxpayer", "Taxpayer's signature"), ("spouse", "Spouse's signature"))
    _signing(s, y - 34, "", spots)
    s.text(EDGE, 44, "Consent under Internal Revenue Code section 7216", 8, "U")
    s.turn()
    return s.finish()


def engagement_letter() -> bytes:
    """What the office will do, signed by both clients."""
    s = PdfBook("Engagement letter", FIRM)
    y = _address(s, _letterhead(s), "January 20, 2026", VENN, HOME_ZIP4)
    s.text(EDGE, y, "Engagement Letter", 14, "T")
    s.text(EDGE, y - 16, "2025 individual income tax returns", 11, "U")
    y = _paragraphs(
        s,
        y - 38,
        (
            "This letter confirms the terms of our engagement. We will prepare your 2025 federal "
            "and Ohio individual income tax returns from the information that you give us. We will "
            "not audit it. We may ask you to explain some of it.",
            "You are responsible for the information, and for having records that support it. You "
            "have the final responsibility for the returns; please read them before you sign.",
            "Our fee depends on the forms that the returns need and is due when you receive them. "
            "We will give you a complete copy when we present the returns for your signature.",
            "If this agrees with your understanding, please sign below.",
        ),
    )
    spots = (("taxpayer", "Taxpayer's signature"), ("spouse", "Spouse's signature"))
    _signing(s, y - 30, "", spots)
    s.text(EDGE, y - 156, f"For the office: {PREPARER}", 10, "S")
    s.turn()
    return s.finish()
