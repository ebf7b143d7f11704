"""Forms 1099-INT, 1099-DIV and 1098 as banks, funds and lenders print them."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from making.numbers import Household
from making.pdf_book import PdfBook


@dataclass(frozen=True)
class Payer:
    """Who furnishes the statement."""

    name: str
    street: str
    city: str
    tin: str
    telephone: str
    account: str


@dataclass(frozen=True)
class Statement:
    """What one kind of statement is called and what its boxes say."""

    form: str
    title: tuple[str, ...]
    omb: str
    recipient: str
    """Word for who receives it: RECIPIENT or PAYER/BORROWER."""
    payer: str
    """Word for who furnishes it: PAYER or RECIPIENT/LENDER."""
    boxes: Sequence[tuple[str, Decimal | str]]
    advice: str = ""
    """What the copy tells who receives it."""

    @property
    def copy_for(self) -> str:
        """RECIPIENT as Recipient, PAYER'S/BORROWER as Payer/Borrower."""
        return self.recipient.replace("'S", "").title()


def _cell(
    s: PdfBook,
    at: tuple[float, float, float, float],
    label: str,
    value: str = "",
    cash: bool = False,
) -> None:
    x, top, w, h = at
    s.rect(x, top - h, w, h, lw=0.6)
    s.text(x + 3, top - 7.5, label, 6.2, fit=w - 6)
    if cash:
        s.text(x + 3, top - h + 4, "$", 8)
        s.text(x + w - 5, top - h + 4, value, 9.5, "M", "r")
    else:
        s.text(x + 6, top - h + 4, value, 9.5, "M", fit=w - 10)


def _addresses(
    s: PdfBook, top: float, kind: Statement, p: Payer, whose: tuple[str, str, Household]
) -> None:
    name, number, home = whose
    who = f"{kind.payer}'S name, street address, city or town, state, ZIP code, and telephone no."
    _cell(s, (40, top, 244, 86), who)
    for index, line in enumerate((p.name, p.street, p.city, p.telephone)):
        s.text(46, top - 21 - 15 * index, line, 9.5, "M")
    y = top - 86
    _cell(s, (40, y, 122, 28), f"{kind.payer}'S TIN", p.tin)
    _cell(s, (162, y, 122, 28), f"{kind.recipient}'S TIN", number)
    y -= 28
    _cell(s, (40, y, 244, 32), f"{kind.recipient}'S name", name)
    _cell(s, (40, y - 32, 244, 32), "Street address (including apt. no.)", home.street)
    label = "City or town, state or province, country, and ZIP or foreign postal code"
    _cell(s, (40, y - 64, 244, 32), label, home.city_line)
    _cell(s, (40, y - 96, 244, 30), "Account number (see instructions)", p.account)


def _boxes(s: PdfBook, top: float, kind: Statement) -> None:
    y = top - 56
    height = (240 - 56) / ((len(kind.boxes) + 1) // 2)
    for index, (label, value) in enumerate(kind.boxes):
        x = 284 if index % 2 == 0 else 380
        cash = isinstance(value, Decimal)
        shown = f"{value:,.2f}" if isinstance(value, Decimal) and value else str(value or "")
        _cell(s, (x, y, 96, height), label, "" if shown == "0" else shown, cash)
        if index % 2:
            y -= height


def statement(
    s: PdfBook, kind: Statement, p: Payer, name: str, home: Household, number: str = ""
) -> None:
    """One page with the recipient's copy in its upper half; `number` defaults to the taxpayer's."""
    top = 730.0
    s.check(236, top + 8)
    s.text(247, top + 9, "CORRECTED (if checked)", 7.5)
    _addresses(s, top, kind, p, (name, number or home.taxpayer_ssn, home))
    s.rect(284, top - 56, 96, 56, lw=0.6)
    s.text(
        287, top - 8, f"{kind.payer.split(chr(39))[0].capitalize()}'s RTN (optional)", 6.2, fit=88
    )
    s.rect(380, top - 56, 96, 56, lw=0.6)
    s.text(428, top - 9, f"OMB No. {kind.omb}", 6.5, "R", "c")
    s.text(428, top - 33, "2025", 18, "B", "c")
    s.text(428, top - 52, f"Form {kind.form}", 8, "B", "c")
    _boxes(s, top, kind)
    s.rect(476, top - 240, 100, 240, lw=0.6)
    for index, line in enumerate(kind.title):
        s.text(572, top - 15 - 12.5 * index, line, 11, "B", "r")
    s.text(572, top - 84, "Copy B", 10, "B", "r")
    s.text(572, top - 98, f"For {kind.copy_for}", 8, "B", "r")
    s.para(
        480,
        top - 122,
        92,
        "This is important tax information and is being furnished to the IRS. If you are required "
        "to file a return, a negligence penalty or other sanction may be imposed on you if this "
        "income is taxable and the IRS determines that it has not been reported.",
        7,
        leading=8.6,
    )
    s.rect(40, top - 240, 536, 240, lw=0.8)
    s.text(40, top - 252, f"Form {kind.form}", 8, "B")
    s.text(150, top - 252, "(keep for your records)", 7)
    s.text(306, top - 252, f"www.irs.gov/Form{kind.form.replace('-', '')}", 7, "R", "c")
    s.text(576, top - 252, "Department of the Treasury - Internal Revenue Service", 7, "R", "r")
    y = s.para(
        40,
        top - 290,
        536,
        f"Instructions for {kind.copy_for}. {kind.advice} For your protection, this form may show "
        "the last four digits of your taxpayer identification number (TIN). However, the issuer "
        "has reported your complete TIN to the IRS.",
        8,
        leading=10.5,
    )
    s.para(
        40,
        y - 8,
        536,
        "Account number. May show an account or other unique number the payer assigned to "
        "distinguish your account.",
        8,
        leading=10.5,
    )
    s.turn()
