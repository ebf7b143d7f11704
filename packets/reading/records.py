"""What is read from a page or a picture."""

from dataclasses import dataclass

from packets.base.geometry import Box


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

    @property
    def text(self) -> str:
        """All lines, joined by newlines."""
        return "\n".join(line.text for line in self.lines)
