"""Signing areas of forms, drawn in their printed wording from memory, in any font, scale and turn.

The forms themselves are not here: only what stands around the lines. Where a real
form lies in ../shared/forms, the tests use that.
"""

import io
from collections.abc import Callable
from dataclasses import dataclass

import pikepdf
import pymupdf
from reportlab.pdfgen.canvas import Canvas

from packets.signatures.page_frame import Rect

PERJURY = "Under penalties of perjury, I declare that to the best of my knowledge it is correct."


@dataclass
class Sheet:
    """A Letter page on which y counts from the top, as one reads."""

    canvas: Canvas
    font: str = "Helvetica"
    spread: float = 0.0
    """Points between letters: words fall apart for a reader."""

    def text(self, x: float, y: float, words: str, size: float = 8) -> float:
        """Print words; return where they end."""
        text = self.canvas.beginText(x, 792 - y)
        text.setFont(self.font, size)
        text.setCharSpace(self.spread)
        text.textOut(words)
        self.canvas.drawText(text)
        return x + self.canvas.stringWidth(words, self.font, size) + self.spread * len(words)

    def rule(self, x0: float, y0: float, x1: float, y1: float) -> None:
        self.canvas.setLineWidth(0.5)
        self.canvas.line(x0, 792 - y0, x1, 792 - y1)

    def above(self, y: float, label: str, size: float = 8) -> None:
        """Lines with their labels hanging under them."""
        self.rule(72, y, 300, y)
        self.text(72, y + 9, label, size)
        self.rule(330, y, 430, y)
        self.text(330, y + 9, "Date", size)

    def right(self, y: float, label: str, size: float = 8) -> None:
        """Lines behind their labels."""
        end = self.text(72, y - 2, label, size)
        self.rule(end + 4, y, 410, y)
        end = self.text(420, y - 2, "Date", size)
        self.rule(end + 4, y, 540, y)

    def boxed(self, y: float, label: str, height: float = 30, size: float = 7) -> None:
        """A row of boxes with their labels in the upper left corner."""
        for at in (y, y + height):
            self.rule(90, at, 576, at)
        for x in (90, 272, 324, 576):
            self.rule(x, y, x, y + height)
        self.text(99, y + 8, label, size)
        self.text(276, y + 8, "Date", size)
        self.text(328, y + 8, "Your occupation", size)


@dataclass(frozen=True)
class Form:
    """One form: its category, whose lines stand on it from top to bottom, and how it is drawn."""

    category: str
    roles: tuple[str, ...]
    draw: Callable[[Sheet], None]


def _return(s: Sheet) -> None:
    s.text(36, 400, "Sign Here", 11)
    s.text(90, 400, PERJURY, 7)
    s.boxed(420, "Your signature")
    s.boxed(450, "Spouse’s signature. If a joint return, both must sign.")
    s.boxed(500, "Preparer's signature", 24)


def _older_amended(s: Sheet) -> None:
    s.text(72, 580, PERJURY)
    s.above(620, "Your signature")
    s.above(655, "Spouse's signature. If a joint return, both must sign.")
    s.above(700, "Preparer's signature")


def _authorization(s: Sheet) -> None:
    s.text(
        72, 300, "signature on the income tax return (original or amended) I am now authorizing."
    )
    s.right(340, "Your signature ")
    s.right(420, "Spouse's signature ")
    s.right(560, "ERO's signature ")


def _transmittal(s: Sheet) -> None:
    s.boxed(300, "Your signature")
    s.boxed(330, "Spouse's signature. If a joint return, both must sign.")
    s.boxed(420, "ERO's signature", 24)
    s.boxed(470, "Paid preparer's signature", 24)


def _power(s: Sheet) -> None:
    s.text(
        72,
        300,
        "7   Signature of taxpayer. If a tax matter concerns a joint return, each must file.",
    )
    s.above(360, "Signature")
    s.text(72, 395, "Print name")
    s.text(72, 430, "Part II   Declaration of Representative", 10)
    s.text(72, 470, "Signature")
    s.rule(72, 490, 540, 490)


def _information(s: Sheet) -> None:
    s.text(
        72, 560, "5   Taxpayer signature. If signed by a corporate officer, I certify my authority."
    )
    s.above(610, "Signature")
    s.above(650, "Print Name")


def _transcript(s: Sheet) -> None:
    s.text(72, 560, PERJURY)
    s.above(600, "Signature (see instructions)")
    s.above(640, "Print/Type name")
    s.above(700, "Spouse's signature")


def _transcript_boxed(s: Sheet) -> None:
    s.boxed(560, "Signature for Line 1a (see instructions)", 26)
    s.boxed(640, "Spouse's signature", 26)


def _extension(s: Sheet) -> None:
    s.right(500, "Your signature")
    s.right(530, "Spouse's signature")


def _letter(s: Sheet) -> None:
    s.text(72, 300, "Your signature below means that you agree with the terms of this letter.", 11)
    s.above(400, "Client signature", 9)
    s.above(450, "Spouse signature", 9)


def _consent(s: Sheet) -> None:
    s.right(400, "Taxpayer's signature:", 9)
    s.right(440, "Spouse's signature:", 9)


def _bank(s: Sheet) -> None:
    s.text(72, 300, "I authorize the bank to deduct the fees listed from my refund.", 9)
    s.above(400, "Applicant's Signature")
    s.above(440, "Joint Applicant's Signature")


def _state(s: Sheet) -> None:
    s.text(72, 300, "Declaration of taxpayer for electronic filing", 11)
    s.above(400, "Primary signature")
    s.above(440, "Spouse's signature")
    s.above(500, "Preparer's signature")


BOTH = ("taxpayer", "spouse")
FORMS = {
    "1040-sr": Form("form-1040-sr", (*BOTH, "preparer"), _return),
    "1040-nr": Form("form-1040-nr", ("taxpayer", "preparer"), _return),
    "1040-x": Form("form-1040-x", (*BOTH, "preparer"), _return),
    "1040-x older": Form("form-1040-x", (*BOTH, "preparer"), _older_amended),
    "8879": Form("form-8879", (*BOTH, "ero"), _authorization),
    "8878": Form("form-8878", (*BOTH, "ero"), _authorization),
    "8453": Form("form-8453", (*BOTH, "ero", "preparer"), _transmittal),
    "2848": Form("form-2848", ("taxpayer",), _power),
    "8821": Form("form-8821", ("taxpayer",), _information),
    "4506-c": Form("form-4506-c", BOTH, _transcript),
    "4506-c boxed": Form("form-4506-c", BOTH, _transcript_boxed),
    "4868": Form("form-4868", BOTH, _extension),
    "engagement letter": Form("engagement-letter", BOTH, _letter),
    "consent": Form("consent-disclosure", BOTH, _consent),
    "bank product": Form("bank-product", BOTH, _bank),
    "state": Form("state-return", (*BOTH, "preparer"), _state),
}


def drawn(
    draw: Callable[[Sheet], None],
    *,
    font: str = "Helvetica",
    spread: float = 0.0,
    scale: float = 1.0,
    turn: int = 0,
    rotate: int = 0,
    head: str = "",
) -> bytes:
    """One page: `scale` shrinks the print on it, `turn` turns the print (degrees), `rotate` is
    the page's /Rotate."""
    out = io.BytesIO()
    size = (612, 792) if turn % 180 == 0 else (792, 612)
    canvas = Canvas(out, pagesize=size, invariant=True)
    if turn:
        canvas.translate(*{90: (792, 0), 180: (612, 792), 270: (0, 612)}[turn])
        canvas.rotate(turn)
    canvas.translate(306 * (1 - scale), 396 * (1 - scale))
    canvas.scale(scale, scale)
    sheet = Sheet(canvas, font, spread)
    if head:
        sheet.text(72, 60, head, 10)
    draw(sheet)
    canvas.save()
    if not rotate:
        return out.getvalue()
    with pikepdf.open(out) as document:
        document.pages[0].Rotate = rotate
        turned = io.BytesIO()
        document.save(turned, deterministic_id=True)
    return turned.getvalue()


def scanned(pdf: bytes, dpi: int = 200) -> bytes:
    """Each page as a picture and nothing else."""
    with pymupdf.open(stream=pdf, filetype="pdf") as source, pymupdf.open() as target:
        for page in source:
            pixels = page.get_pixmap(dpi=dpi, colorspace=pymupdf.csGRAY)
            sheet = target.new_page(width=page.rect.width, height=page.rect.height)
            sheet.insert_image(sheet.rect, pixmap=pixels)
        return bytes(target.tobytes())


def dark(pdf: bytes, area: Rect, page: int = 1, dpi: int = 144) -> int:
    """Dark pixels of an area of the page as shown."""
    with pymupdf.open(stream=pdf, filetype="pdf") as document:
        pixels = document[page - 1].get_pixmap(
            dpi=dpi, clip=pymupdf.Rect(area), colorspace=pymupdf.csGRAY
        )
        return sum(level < 150 for level in pixels.samples)
