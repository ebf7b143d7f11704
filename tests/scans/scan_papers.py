"""The papers that are laid on the scanner: pages with numbers whose places are known.

Some are pages of the sample folders, some are drawn here in other faces. Every
number is invented and never assigned (area 000, 666 or 900-999, group 00,
serial 0000, or a published void).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pymupdf

SAMPLES = Path(__file__).resolve().parents[2] / "sample_pdfs"
_JOINT = SAMPLES / "joint-return" / "documents"

Rect = tuple[float, float, float, float]


@dataclass(frozen=True)
class PrintedNumber:
    """One number on a paper: its digits and where each stands, in points."""

    written: str
    digits: tuple[Rect, ...]

    @property
    def value(self) -> str:
        return "".join(char for char in self.written if char.isdigit())

    @property
    def hidden(self) -> tuple[Rect, ...]:
        """The five of nine digits that may not be seen (26 CFR 301.6109-4(a))."""
        return self.digits[:5]


@dataclass(frozen=True)
class Paper:
    """One sheet: a single-page PDF and the numbers on it."""

    name: str
    pdf: bytes
    numbers: tuple[PrintedNumber, ...]
    labelled: bool = True
    """Whether labels or shapes alone must be enough to find the numbers."""


def _numbers(page: pymupdf.Page, written: Sequence[str]) -> tuple[PrintedNumber, ...]:
    """Every place of the numbers on the page, digit by digit."""
    glyphs = [
        (char["c"], tuple(char["bbox"]))
        for block in page.get_text("rawdict")["blocks"]
        for line in block.get("lines", ())
        for span in line["spans"]
        for char in span["chars"]
        if char["c"].isdigit()
    ]
    text = "".join(char for char, _ in glyphs)
    found = []
    for number in written:
        value = "".join(char for char in number if char.isdigit())
        at = text.find(value)
        assert at >= 0, "a number is not on its paper"
        while at >= 0:
            boxes = tuple(box for _, box in glyphs[at : at + len(value)])
            found.append(PrintedNumber(number, boxes))
            at = text.find(value, at + 1)
    return tuple(found)


def _paper(name: str, document: pymupdf.Document, written: Sequence[str]) -> Paper:
    document.bake()
    return Paper(name, document.tobytes(no_new_id=True), _numbers(document[0], written))


def _sample(name: str, file: str, page: int, *written: str) -> Paper:
    document = pymupdf.open(_JOINT / file)
    document.select([page])
    return _paper(name, document, written)


@dataclass(frozen=True)
class Ink:
    """A line of print: where, what, in which base font and size."""

    x: float
    y: float
    text: str
    font: str = "helv"
    size: float = 10.0


def drawn(name: str, lines: Sequence[Ink], *written: str, boxes: Sequence[Rect] = ()) -> Paper:
    """A letter-size sheet with these lines and ruled boxes."""
    document = pymupdf.open()
    page = document.new_page(width=612, height=792)
    for box in boxes:
        page.draw_rect(pymupdf.Rect(*box), width=0.7)
    for ink in lines:
        page.insert_text((ink.x, ink.y), ink.text, fontname=ink.font, fontsize=ink.size)
    return _paper(name, document, written)


def running(text: str, y: float, font: str = "tiro", size: float = 11.0) -> list[Ink]:
    """Running text in lines of some eighty characters, from `y` down."""
    lines, line = [], ""
    for word in text.split():
        if len(line) + len(word) > 80:
            lines.append(line)
            line = ""
        line += f"{word} "
    return [Ink(72, y + 15 * k, row, font, size) for k, row in enumerate([*lines, line])]


def _letter() -> Paper:
    text = (
        "Thank you for the papers that you sent us last week. We have entered the interest "
        "and the wages, and we still need the statement of the lender. The account of Mr. "
        "Ferrow under social security number 666-47-1903 was closed in May; that of his wife "
        "under 000-81-5526 remains open. Please write both numbers on the check, and call us "
        "when the agency asks for either of them. We keep our copies for seven years and "
        "hand them to nobody without a written consent of both of you."
    )
    head = [Ink(72, 80, "Hollis & Wren, Accountants", "tibo", 16), Ink(72, 120, "March 3, 2026")]
    more = running(
        "The return itself is filed by us. What you sign is the authorization, which "
        "stays in our file. The refund arrives within some three weeks.",
        260,
    )
    return drawn("letter", [*head, *running(text, 150), *more], "666-47-1903", "000-81-5526")


def _wage_statement() -> Paper:
    boxes = [(50, 60, 250, 100), (250, 60, 420, 100), (50, 100, 330, 150), (330, 60, 560, 100),
             (50, 150, 330, 230), (330, 100, 445, 150), (445, 100, 560, 150)]  # fmt: skip
    small = "helv"
    lines = [
        Ink(54, 70, "a Employee's social security number", small, 7),
        Ink(60, 92, "666-19-8042", "cour", 12),
        Ink(254, 70, "OMB No. 1545-0008", small, 7),
        Ink(54, 110, "b Employer identification number (EIN)", small, 7),
        Ink(60, 132, "07-3009264", "cour", 12),
        Ink(334, 110, "1 Wages, tips, other compensation", small, 6),
        Ink(340, 132, "48210.77", "cour", 12),
        Ink(449, 110, "2 Federal income tax withheld", small, 6),
        Ink(455, 132, "5120.40", "cour", 12),
        Ink(54, 160, "e Employee's name, address and ZIP code", small, 7),
        Ink(60, 180, "ORLA FERROW", "cour", 11),
        Ink(60, 194, "127 CANAL STREET", "cour", 11),
        Ink(60, 208, "MILLBROOK FALLS OH 43100", "cour", 11),
        Ink(54, 250, "Form W-2 Wage and Tax Statement 2025", "hebo", 12),
    ]
    return drawn("wage-statement", lines, "666-19-8042", boxes=boxes)


def _interest_statement() -> Paper:
    boxes = [(40, 50, 330, 130), (40, 130, 185, 165), (185, 130, 330, 165), (40, 165, 330, 200),
             (330, 50, 570, 200), (40, 200, 330, 240)]  # fmt: skip
    lines = [
        Ink(44, 60, "PAYER'S name, street address, city or town, state", "helv", 6.5),
        Ink(48, 80, "Copperline Savings Association", "tiro", 11),
        Ink(44, 140, "PAYER'S TIN", "helv", 6.5),
        Ink(48, 157, "08-1007305", "tiro", 11),
        Ink(189, 140, "RECIPIENT'S TIN", "helv", 6.5),
        Ink(193, 157, "900-02-4417", "tiro", 11),
        Ink(44, 175, "RECIPIENT'S name", "helv", 6.5),
        Ink(48, 192, "Tobin Ferrow", "tiro", 11),
        Ink(334, 60, "1 Interest income", "helv", 6.5),
        Ink(338, 78, "$ 1,180.32", "tiro", 11),
        Ink(44, 210, "Account number (see instructions)", "helv", 6.5),
        Ink(48, 228, "0088412073", "tiro", 11),
        Ink(340, 150, "Form 1099-INT Interest Income", "hebo", 11),
    ]
    return drawn("interest-statement", lines, "900-02-4417", boxes=boxes)


@cache
def papers() -> tuple[Paper, ...]:
    """All papers with numbers."""
    taxpayer, spouse = "666-12-3481", "000-45-2718"
    return (
        _wage_statement(),
        _interest_statement(),
        _letter(),
        _sample("sample-w-2", "w-2/aldertree-surveying.pdf", 0, spouse),
        _sample("sample-1099-int", "1099-int.pdf", 0, taxpayer),
        _sample("sample-8879", "2025-tax-return.pdf", 0, taxpayer, spouse),
        _sample("sample-consent", "consent-to-disclose.pdf", 0, taxpayer, spouse),
        _sample("sample-1040", "2025-tax-return.pdf", 2, taxpayer, spouse),
    )
