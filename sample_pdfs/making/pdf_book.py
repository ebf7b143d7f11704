"""Pages on PDF paper, and the form fields that a page may have."""

import io
from dataclasses import dataclass, field

import pikepdf
from reportlab.pdfgen import canvas

from making.form_fields import add_fields
from making.sheet import BLACK, Blank, Color, Sheet

FONTS = {
    "R": "Helvetica",
    "B": "Helvetica-Bold",
    "I": "Helvetica-Oblique",
    "J": "Helvetica-BoldOblique",
    "M": "Courier",
    "N": "Courier-Bold",
    "S": "Times-Roman",
    "T": "Times-Bold",
    "U": "Times-Italic",
}


@dataclass
class FieldPlaces:
    """The named places of a book, by page."""

    spots: list[tuple[int, Blank]] = field(default_factory=list)


class PdfBook(Sheet):
    """One PDF in the making."""

    def __init__(self, title: str, author: str) -> None:
        self._buffer = io.BytesIO()
        self._canvas = canvas.Canvas(
            self._buffer, pagesize=(self.width, self.height), invariant=1, pageCompression=0
        )
        self._canvas.setTitle(title)
        self._canvas.setAuthor(author)
        self._places = FieldPlaces()
        self.page = 0

    def measure(self, words: str, size: float, font: str = "R") -> float:
        return float(self._canvas.stringWidth(words, FONTS[font], size))

    def put(self, x: float, y: float, words: str, size: float, font: str, color: Color) -> None:
        self._canvas.setFillColorRGB(*color)
        self._canvas.setFont(FONTS[font], size)
        self._canvas.drawString(x, y, words)

    def line(
        self,
        x1: float,
        y1: float,
        x2: float,
        y2: float,
        lw: float = 0.5,
        dash: tuple[float, float] | None = None,
        color: Color = BLACK,
    ) -> None:
        self._canvas.setLineWidth(lw)
        self._canvas.setStrokeColorRGB(*color)
        self._canvas.setDash(list(dash) if dash else [])
        self._canvas.line(x1, y1, x2, y2)

    def rect(
        self,
        x: float,
        y: float,
        w: float,
        h: float,
        fill: Color | None = None,
        lw: float = 0.5,
        color: Color = BLACK,
    ) -> None:
        self._canvas.setDash([])
        self._canvas.setLineWidth(lw)
        self._canvas.setStrokeColorRGB(*color)
        if fill:
            self._canvas.setFillColorRGB(*fill)
        self._canvas.rect(x, y, w, h, stroke=int(lw > 0), fill=int(fill is not None))

    def upright(self, x: float, y: float, words: str, size: float, font: str = "R") -> None:
        """Draws a line of text that runs upwards."""
        self._canvas.saveState()
        self._canvas.translate(x, y)
        self._canvas.rotate(90)
        self.put(0, 0, words, size, font, BLACK)
        self._canvas.restoreState()

    def blank(self, spot: Blank) -> None:
        if spot.name:
            self._places.spots.append((self.page, spot))
        else:
            self.write(spot)

    def turn(self) -> None:
        """Ends the page and begins the next."""
        self._canvas.showPage()
        self.page += 1

    def finish(self) -> bytes:
        """The PDF, with its fields; the same bytes every time."""
        self._canvas.save()
        out = io.BytesIO()
        with pikepdf.open(io.BytesIO(self._buffer.getvalue())) as pdf:
            add_fields(pdf, self._places.spots)
            pdf.save(
                out,
                deterministic_id=True,
                compress_streams=True,
                object_stream_mode=pikepdf.ObjectStreamMode.generate,
            )
        return out.getvalue()
