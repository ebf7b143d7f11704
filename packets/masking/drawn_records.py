"""What is found in ink that no font tells, and what of it goes."""

from dataclasses import dataclass, field

import pymupdf

from packets.base.geometry import Box
from packets.base.secret import Secret
from packets.identifiers.kinds import Kind
from packets.identifiers.layout import GlyphRun
from packets.reading.glyphs import PageGlyphs
from packets.reading.records import OcrWord

PageBox = tuple[float, float, float, float]
"""x0, y0, x1, y1 in points; on the unrotated page with its origin upper left, or in default
user space with its origin lower left, as each place says."""


@dataclass(frozen=True, slots=True, repr=False)
class DrawnSymbol:
    """One character that was read in drawn ink."""

    box: PageBox
    """Around its ink, on the unrotated page."""
    colour: tuple[float, ...]
    sure: float
    """0 to 100."""
    glyphs: tuple[int, ...] = ()
    """The glyphs under it, where a font drew it under another name."""


@dataclass(frozen=True, slots=True, repr=False)
class DrawnReading:
    """What was read in one direction."""

    turns: int
    """Counter-clockwise quarter turns that set it upright."""
    words: tuple[OcrWord, ...]
    """In points of the turned page."""
    symbols: tuple[DrawnSymbol, ...]
    """One for each character of the words, in their order."""
    beside: tuple[GlyphRun, ...]
    """The text of the page that runs the same way."""


@dataclass(frozen=True, slots=True, repr=False)
class DrawnCode:
    """Drawn bars or squares."""

    box: PageBox
    """On the unrotated page."""
    content: Secret | None
    """None: it looks like a code, and no reader decodes it."""
    colour: tuple[float, ...]


@dataclass(frozen=True, slots=True, repr=False)
class DrawnSurvey:
    """The unexplained ink of one page."""

    page: int
    """From 0."""
    readings: tuple[DrawnReading, ...]
    codes: tuple[DrawnCode, ...]
    text: PageGlyphs
    to_user_space: pymupdf.Matrix
    """From the unrotated page to default user space."""
    as_shown: pymupdf.Matrix
    """From the unrotated page to the page as shown."""
    unread: tuple[str, ...] = ()
    """What could not be read, in words with its page; a packet is held for any."""


@dataclass(frozen=True, slots=True)
class DrawnCell:
    """Where one digit stands, in default user space."""

    box: PageBox
    goes: bool
    char: str
    """What stands there afterwards, should its ink go."""


@dataclass(frozen=True)
class DrawnFinding:
    """One number or code in drawn ink."""

    page: int
    """From 0."""
    kind: Kind
    shown: str
    place: Box
    """On the page as shown."""
    cells: tuple[DrawnCell, ...] = field(repr=False)
    origins: tuple[tuple[float, float], ...] = field(default=(), repr=False)
    """Where the glyphs among its digits start that go too, in default user space."""
    mask: str = "X"
    """What stands in for each of those glyphs."""
    turns: int = 0
    """Counter-clockwise quarter turns that set the number upright on the unrotated page."""
    colour: tuple[float, ...] = (0.0,)
    barcode: bool = False


@dataclass(frozen=True)
class DrawnRemoval:
    """A document without the ink of its findings."""

    pdf: bytes = field(repr=False)
    done: tuple[DrawnFinding, ...]
    undone: tuple[DrawnFinding, ...]
    """Still there, in whole or in part: the packet is held."""
