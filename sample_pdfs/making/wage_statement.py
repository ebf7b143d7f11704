"""Form W-2, drawn once for printed and for scanned paper."""

from dataclasses import dataclass
from decimal import Decimal

import zxingcpp
from PIL import Image

from making.figures import Wages
from making.layout import digits
from making.numbers import Household
from making.sheet import Sheet


@dataclass(frozen=True)
class Employer:
    """Boxes b, c, d, 15 and 20."""

    name: str
    ein: str
    street: str
    city: str
    state: str
    state_id: str
    control: str = ""
    locality: str = ""
    deferral_code: str = "D"


def _cell(
    s: Sheet, at: tuple[float, float, float, float], label: str, value: str = "", right: bool = True
) -> None:
    """One box: `at` is x, upper edge, width, height."""
    x, top, w, h = at
    s.rect(x, top - h, w, h, lw=0.6)
    s.text(x + 3, top - 7.5, label, 6.2, fit=w - 5)
    if right:
        s.text(x + w - 5, top - h + 5, value, 9.5, "M", "r", fit=w - 8)
    else:
        s.text(x + 6, top - h + 5, value, 9.5, "M", fit=w - 8)


def _amount(value: Decimal) -> str:
    return f"{value:.2f}" if value else ""


def _left_side(s: Sheet, top: float, who: tuple[str, str, Household], e: Employer) -> None:
    name, number, home = who
    first, last = name.rsplit(" ", 1)
    s.rect(40, top - 26, 62, 26, lw=0.6)
    _cell(s, (102, top, 150, 26), "a  Employee's social security number", number, False)
    s.text(258, top - 10, "OMB No. 1545-0029", 6.5)
    s.text(
        258, top - 20, "This information is being furnished to the Internal Revenue Service.", 5.4
    )
    s.line(40, top, 572, top, 0.6)
    y = top - 26
    _cell(s, (40, y, 272, 26), "b  Employer identification number (EIN)", e.ein, False)
    y -= 26
    _cell(s, (40, y, 272, 72), "c  Employer's name, address, and ZIP code")
    for index, line in enumerate((e.name, e.street, e.city)):
        s.text(46, y - 24 - 14 * index, line, 9.5, "M")
    y -= 72
    _cell(s, (40, y, 272, 26), "d  Control number", e.control, False)
    y -= 26
    _cell(s, (40, y, 132, 26), "e  Employee's first name and initial", first, False)
    _cell(s, (172, y, 110, 26), "Last name", last, False)
    _cell(s, (282, y, 30, 26), "Suff.")
    y -= 26
    _cell(s, (40, y, 272, 72), "")
    s.text(43, y - 68, "f  Employee's address and ZIP code", 6.2)
    for index, line in enumerate((home.street, home.city_line)):
        s.text(46, y - 22 - 14 * index, line, 9.5, "M")


def _right_side(s: Sheet, top: float, w: Wages, e: Employer) -> None:
    pairs = (
        ("1  Wages, tips, other compensation", w.box1, "2  Federal income tax withheld", w.federal),
        ("3  Social security wages", w.gross, "4  Social security tax withheld", w.social_security),
        ("5  Medicare wages and tips", w.gross, "6  Medicare tax withheld", w.medicare),
        ("7  Social security tips", Decimal(0), "8  Allocated tips", Decimal(0)),
        ("9", Decimal(0), "10  Dependent care benefits", Decimal(0)),
    )
    y = top - 26
    for left, amount, right, other in pairs:
        _cell(s, (312, y, 130, 26), left, _amount(amount))
        _cell(s, (442, y, 130, 26), right, _amount(other))
        y -= 26
    _cell(s, (312, y, 130, 26), "11  Nonqualified plans")
    for index, letter in enumerate("abcd"):
        deferred = index == 0 and w.deferred > 0
        value = f"{e.deferral_code}    {w.deferred:.2f}" if deferred else ""
        _cell(s, (442, y - 23 * index, 130, 23), f"12{letter}", value)
    y -= 26
    s.rect(312, y - 28, 130, 28, lw=0.6)
    s.text(315, y - 7.5, "13", 6.2)
    for x, words, on in (
        (328, "Statutory", False),
        (364, "Retirement", w.deferred > 0),
        (404, "Third-party", False),
    ):
        s.text(x, y - 9, words, 5.6)
        s.check(x + 8, y - 24, on)
    _cell(s, (312, y - 28, 130, 38), "14  Other")


def _state(s: Sheet, y: float, w: Wages, e: Employer) -> None:
    taxed = w.state_tax > 0
    columns = (
        (40.0, 96.0, "15  State  Employer's state ID", f"{e.state} {e.state_id}" if taxed else ""),
        (136.0, 84.0, "16  State wages, tips, etc.", _amount(w.box1) if taxed else ""),
        (220.0, 76.0, "17  State income tax", _amount(w.state_tax)),
        (296.0, 98.0, "18  Local wages, tips, etc.", _amount(w.gross) if w.local_rate else ""),
        (394.0, 84.0, "19  Local income tax", _amount(w.local_tax)),
        (478.0, 94.0, "20  Locality name", e.locality),
    )
    for x, width, label, value in columns:
        _cell(s, (x, y, width, 26), label, value)
        _cell(s, (x, y - 26, width, 22), "")


def wage_statement(
    s: Sheet, name: str, number: str, home: Household, w: Wages, e: Employer, top: float = 740.0
) -> None:
    """One W-2, Copy B, in the upper half of the sheet."""
    _left_side(s, top, (name, number, home), e)
    _right_side(s, top, w, e)
    _state(s, top - 248, w, e)
    y = top - 312
    s.text(40, y, "Form", 7)
    s.text(62, y - 3, "W-2", 20, "B")
    s.text(110, y, "Wage and Tax Statement", 12, "B")
    s.text(330, y - 3, "2025", 20, "B", "c")
    s.text(572, y + 2, "Department of the Treasury—Internal Revenue Service", 7, "R", "r")
    s.text(40, y - 16, "Copy B—To Be Filed With Employee's FEDERAL Tax Return.", 8, "B")
    s.text(572, y - 16, "See the notice to employee on the back of Copy B.", 7, "R", "r")


def wage_barcode(name: str, number: str, home: Household, w: Wages, e: Employer) -> Image.Image:
    """A PDF417 symbol that carries the boxes as lines of text, the employee's number too."""
    lines = (
        "W2-2025",
        digits(number),
        digits(e.ein),
        e.name.upper(),
        name.upper(),
        home.street.upper(),
        home.city_line.upper(),
        f"{w.box1:.2f}",
        f"{w.federal:.2f}",
        f"{w.gross:.2f}",
        f"{w.social_security:.2f}",
        f"{w.medicare:.2f}",
        e.state,
        f"{w.state_tax:.2f}",
    )
    symbol = zxingcpp.create_barcode("\r".join(lines), zxingcpp.BarcodeFormat.PDF417)
    return Image.fromarray(symbol.to_image(scale=3))
