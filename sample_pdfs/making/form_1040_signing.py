"""The lower part of Form 1040, page 2: designee, signatures, identity PINs, preparer."""

from making.form_1040_margin import MARGIN
from making.layout import LEFT, RIGHT, FieldNames
from making.numbers import (
    FIRM,
    FIRM_CITY,
    FIRM_STREET,
    PREPARER,
    PREPARER_FIRM_EIN,
    PREPARER_PHONE,
    PREPARER_PTIN,
    Household,
)
from making.pdf_book import PdfBook
from making.sheet import Blank


def _label(s: PdfBook, y: float, title: str, note: str = "") -> None:
    s.line(LEFT, y, RIGHT, y, 1.0)
    base = s.para(LEFT, y - 11, 68, title, 9.5, "B", 11)
    if note:
        s.para(LEFT, base - 1, 68, note, 6.2, leading=7.2)


def _designee(s: PdfBook, names: FieldNames, y: float) -> float:
    _label(s, y, "Third Party Designee")
    s.text(
        MARGIN,
        y - 9,
        "Do you want to allow another person to discuss this return with the IRS? See instructions",
        7,
    )
    s.choices(448, y - 9, (("Yes. Complete below.", True), ("No", False)))
    s.text(MARGIN, y - 19, "Designee's name", 6.5)
    s.blank(Blank(158, y - 23, 140, 12, PREPARER, names.next(), size=8.5))
    s.text(304, y - 19, "Phone no.", 6.5)
    s.blank(Blank(336, y - 23, 80, 12, PREPARER_PHONE, names.next(), size=8.5))
    s.text(420, y - 19, "Personal identification number (PIN)", 5.5)
    s.rect(511, y - 23, 65, 12)
    s.cells(511, y - 23, 65, 12, 5)
    s.blank(Blank(511, y - 23, 65, 12, "", names.next(), comb=5))
    return y - 25


def _signer(
    s: PdfBook, names: FieldNames, y: float, role: str, labels: tuple[str, str, str], pin: str
) -> None:
    """One line of the signature block: signature, date, occupation, identity PIN."""
    signature, occupation_label, whose = labels
    occupation, _, label = occupation_label.partition("|")
    for x, width, words in (
        (MARGIN, 162.0, signature),
        (270.0, 60.0, "Date"),
        (330.0, 118.0, label),
        (448.0, 128.0, f"If the IRS sent {whose} an Identity Protection"),
    ):
        s.rect(x, y - 28, width, 28)
        s.text(x + 2, y - 7, words, 6.3, fit=width - 4)
    s.text(450, y - 14, "PIN, enter it here (see inst.)", 6.3, fit=60)
    s.blank(
        Blank(
            MARGIN + 1,
            y - 27,
            160,
            19,
            name=f"{role}_signature_1040",
            signature=True,
            tooltip=signature,
        )
    )
    s.blank(Blank(271, y - 27, 58, 15, name=f"{role}_sign_date_1040", size=8.5))
    s.blank(Blank(331, y - 27, 116, 15, occupation, names.next()))
    s.rect(514, y - 26, 60, 13)
    s.cells(514, y - 26, 60, 13, 6)
    s.blank(Blank(514, y - 26, 60, 13, pin, names.next(), comb=6, size=9.5))


def _preparer(s: PdfBook, names: FieldNames, y: float) -> float:
    _label(s, y, "Paid Preparer Use Only")
    cells = (
        (MARGIN, 112.0, "Preparer's name", PREPARER),
        (220.0, 138.0, "Preparer's signature", ""),
        (358.0, 58.0, "Date", ""),
        (416.0, 74.0, "PTIN", PREPARER_PTIN),
    )
    for x, width, label, value in cells:
        s.rect(x, y - 26, width, 26)
        s.text(x + 2, y - 7, label, 6.3)
        if label == "Preparer's signature":
            name = "preparer_signature_1040"
            s.blank(Blank(x + 1, y - 25, width - 2, 18, name=name, signature=True, tooltip=label))
        else:
            name = "preparer_sign_date_1040" if label == "Date" else names.next()
            s.blank(Blank(x + 1, y - 25, width - 2, 15, value, name, size=8.5))
    s.rect(490, y - 26, 86, 26)
    s.text(492, y - 7, "Check if:", 6.3)
    s.choices(493, y - 20, (("Self-employed", False),))
    for label, value, right, number in (
        ("Firm's name", FIRM, "Phone no.", PREPARER_PHONE),
        ("Firm's address", f"{FIRM_STREET}, {FIRM_CITY}", "Firm's EIN", PREPARER_FIRM_EIN),
    ):
        y -= 14
        s.rect(MARGIN, y - 26, 308, 14)
        s.text(MARGIN + 2, y - 22, label, 6.3)
        s.blank(Blank(160, y - 25.5, 254, 13, value, names.next(), size=8.5))
        s.rect(416, y - 26, 160, 14)
        s.text(418, y - 22, right, 6.3)
        s.blank(Blank(456, y - 25.5, 118, 13, number, names.next(), size=8.5))
    return y - 26


def sign_block(s: PdfBook, names: FieldNames, who: Household, y: float) -> float:
    """Draws the block downwards from y; gives the y under it."""
    y = _designee(s, names, y)
    _label(s, y, "Sign Here", "Joint return? See instructions. Keep a copy for your records.")
    s.para(
        MARGIN,
        y - 8,
        466,
        "Under penalties of perjury, I declare that I have examined this return and accompanying "
        "schedules and statements, and to the best of my knowledge and belief, they are true, "
        "correct, and complete. Declaration of preparer (other than taxpayer) is based on all "
        "information of which preparer has any knowledge.",
        6.1,
        leading=7.2,
    )
    y -= 27
    mine = ("Your signature", f"{who.taxpayer_occupation}|Your occupation", "you")
    _signer(s, names, y, "taxpayer", mine, who.taxpayer_ip_pin)
    y -= 28
    theirs = (
        "Spouse's signature. If a joint return, both must sign.",
        f"{who.spouse_occupation}|Spouse's occupation",
        "your spouse",
    )
    _signer(s, names, y, "spouse", theirs, who.spouse_ip_pin)
    y -= 28
    s.text(MARGIN, y - 10, "Phone no.", 6.5)
    s.blank(Blank(140, y - 13, 120, 12, who.phone, names.next()))
    s.text(300, y - 10, "Email address", 6.5)
    s.line(MARGIN, y - 14, RIGHT, y - 14)
    return _preparer(s, names, y - 14)
