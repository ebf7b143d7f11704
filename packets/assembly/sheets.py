"""Front sheets on paper: reportlab draws, and notes where set texts and links belong."""

from dataclasses import dataclass, field
from io import BytesIO

from reportlab.pdfgen.canvas import Canvas

from packets.assembly.lettering import Lettering
from packets.assembly.typesetting import OTHER_SCRIPT, SHEET, Type, text_width

_LEADER_STEP = 4.0
"""Distance between the dots of a leader; all dots of a sheet stand on one grid."""


@dataclass(frozen=True)
class SetMark:
    """A text in another script, to be shown at a baseline point."""

    text: str
    x: float
    y: float
    size: float


@dataclass(frozen=True)
class LinkMark:
    """A rectangle (x0, y0, x1, y1 from the lower left) that leads to a packet page."""

    box: tuple[float, float, float, float]
    page: int


@dataclass
class SheetMarks:
    """What is added to one drawn sheet after the packet is put together."""

    texts: list[SetMark] = field(default_factory=list)
    links: list[LinkMark] = field(default_factory=list)


class SheetWriter:
    """Draws sheets one after the other. Points, origin lower left."""

    def __init__(self, lettering: Lettering) -> None:
        self.lettering = lettering
        self.marks: list[SheetMarks] = []
        self.letters: dict[str, set[str]] = {}
        """The letters printed in each standard face."""
        self._file = BytesIO()
        self._canvas = Canvas(
            self._file,
            pagesize=SHEET,
            invariant=1,
            pageCompression=1,
            initialFontName="Times-Roman",
        )

    def begin_sheet(self) -> None:
        """Start a new sheet."""
        if self.marks:
            self._canvas.showPage()
        self.marks.append(SheetMarks())
        self._canvas.setLineWidth(0.5)

    def text(self, x: float, y: float, text: str, kind: Type, *, flush_right: bool = False) -> None:
        """Print one line with its baseline at `y`, starting (or ending) at `x`."""
        if flush_right:
            x -= text_width(text, kind, self.lettering)
        if kind.face != OTHER_SCRIPT:
            self.letters.setdefault(kind.face, set()).update(text)
            self._canvas.setFont(kind.face, kind.size)
            self._canvas.drawString(x, y, text)
        else:
            self.marks[-1].texts.append(SetMark(text, x, y, kind.size))

    def rule(self, x0: float, x1: float, y: float) -> None:
        """A hairline."""
        self._canvas.line(x0, y, x1, y)

    def leader(self, x0: float, x1: float, y: float) -> None:
        """Dots on the baseline that lead from a title to its page number.

        They are drawn, not written, so that a reader aloud does not spell them out.
        """
        first = -(-x0 // _LEADER_STEP) * _LEADER_STEP
        if first >= x1:
            return
        canvas = self._canvas
        canvas.saveState()
        canvas.setLineCap(1)
        canvas.setLineWidth(0.8)
        canvas.setDash([0, _LEADER_STEP])
        canvas.line(first, y + 0.5, x1, y + 0.5)
        canvas.restoreState()

    def link(self, box: tuple[float, float, float, float], page: int) -> None:
        """Let a rectangle lead to a packet page."""
        self.marks[-1].links.append(LinkMark(box, page))

    def finish(self) -> bytes:
        """The sheets as a PDF."""
        self._canvas.showPage()
        self._canvas.save()
        return self._file.getvalue()
