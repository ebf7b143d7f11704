"""What is read from a page or a picture."""

from dataclasses import dataclass, field

from packets.base.geometry import Box
from packets.base.secret import Secret


@dataclass(frozen=True)
class Band:
    """From top to bottom, in points of the unrotated page, y downward."""

    top: float
    bottom: float


@dataclass(frozen=True, slots=True, repr=False)
class KeptSpan:
    """Glyphs of one font and size on one line that runs to the right."""

    text: str
    """One character per glyph."""
    places: bytes
    """For each its left and right, and the x and y of its point on the baseline, as single
    floats: points on the unrotated page, origin upper left."""
    size: float
    ascender: float
    descender: float
    """In type sizes, as the font claims."""
    colour: int
    """Red, green and blue in a byte each."""


@dataclass(frozen=True, slots=True, repr=False)
class BandGlyphs:
    """The glyphs of a part of a page, in the order of drawing."""

    spans: tuple[KeptSpan, ...]


@dataclass(frozen=True)
class FirstLook:
    """What the strings of a page tell."""

    in_lines: Secret
    """Its digits as they stand on the page, from left to right and line by line."""
    as_drawn: Secret
    """Its digits in the order of drawing."""
    suspects: tuple[BandGlyphs, ...] | None = field(repr=False)
    """Lines that may hold a number with what may stand above them as a caption; None where
    only a look at all glyphs of the page can tell."""


@dataclass(frozen=True)
class TextLine:
    """One printed line, left to right as it is seen."""

    text: str
    box: Box
    """On the page as shown, points, origin upper left."""
    size: float
    """Height of the type in points, roughly."""


@dataclass(frozen=True)
class PageText:
    """The readable text of one page, in lines from top to bottom."""

    lines: tuple[TextLine, ...]
    width: float
    height: float
    read_by: str
    """`text`, `ocr` or `nothing`."""
    sure: bool = True
    """False when OCR was not confident of most words."""
    look: FirstLook | None = None
    """What its strings tell of numbers; None where only its glyphs tell, or nobody looked."""

    @property
    def text(self) -> str:
        """All lines, joined by newlines."""
        return "\n".join(line.text for line in self.lines)


Symbol = tuple[str, float, float, float, float]
"""A character and its box in pixels: x0, y0, x1, y1."""


@dataclass(frozen=True)
class OcrWord:
    """One word that OCR read in a picture; boxes in the pixels of that picture."""

    symbols: tuple[Symbol, ...]
    """Origin upper left."""
    confidence: float
    """0 to 100, as the engine says."""

    @property
    def text(self) -> str:
        """The word's characters."""
        return "".join(symbol[0] for symbol in self.symbols)


@dataclass(frozen=True)
class PictureText:
    """All words of a picture, turned the way in which it reads best."""

    words: tuple[OcrWord, ...]
    quarter_turns: int
    """Counter-clockwise quarter turns that were applied before reading; word boxes
    are those of the turned picture."""
    width: int
    height: int
    """Size of the turned picture in pixels."""
    confidence: float
    """Mean over the words, 0 to 100; 0 when there are none."""
    skew: float = 0.0
    """Degrees counter-clockwise by which the turned picture was levelled about its middle
    before it was read; the word boxes are those of the picture before levelling."""
    doubts: tuple[str, ...] = ()
    """What may be a number and could not be read, in words without digits of the picture."""


@dataclass(frozen=True)
class Barcode:
    """A barcode in a picture."""

    symbology: str
    content: Secret | None
    """None where it is certain that a code stands there, and it cannot be decoded."""
    corners: tuple[tuple[float, float], ...]
    """Four corners in pixels of the picture that was read."""
