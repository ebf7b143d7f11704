"""A sheet of paper to draw on, in PDF points with the origin at the bottom left.

`Sheet` holds what can be said with four strokes (text, line, rectangle, picture); the
two kinds of paper give those: `PdfBook` (reportlab) and `RasterSheet` (pillow). So a form
is laid out once and can come out as a PDF page or as a scan.
"""

from abc import ABC, abstractmethod
from collections.abc import Sequence
from dataclasses import dataclass

BLACK = (0.0, 0.0, 0.0)
GREY = (0.82, 0.82, 0.82)
PALE = (0.93, 0.93, 0.93)
WHITE = (1.0, 1.0, 1.0)
RED = (0.80, 0.10, 0.10)
BLUE = (0.10, 0.16, 0.45)
Color = tuple[float, float, float]


@dataclass(frozen=True)
class Blank:
    """A place to write in: where it lies, what stands in it, what a form calls it.

    `comb` is the number of cells, or 0. `signature` makes a signature field of it.
    `name` is empty for a place that is only printed.
    """

    x: float
    y: float
    w: float
    h: float
    value: str = ""
    name: str = ""
    comb: int = 0
    signature: bool = False
    align: str = "l"
    size: float = 9.0
    tooltip: str = ""


class Sheet(ABC):
    """Paper. Fonts are named R, B, I (sans), M, N (typewriter, and bold), S, T, U (serif, bold,
    italic)."""

    width = 612.0
    height = 792.0

    @abstractmethod
    def measure(self, words: str, size: float, font: str = "R") -> float: ...

    @abstractmethod
    def put(self, x: float, y: float, words: str, size: float, font: str, color: Color) -> None: ...

    @abstractmethod
    def line(
        self,
        x1: float,
        y1: float,
        x2: float,
        y2: float,
        lw: float = 0.5,
        dash: tuple[float, float] | None = None,
        color: Color = BLACK,
    ) -> None: ...

    @abstractmethod
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
        """Draws a rectangle; a line width of 0 draws no border."""

    def text(
        self,
        x: float,
        y: float,
        words: str,
        size: float = 7.5,
        font: str = "R",
        align: str = "l",
        color: Color = BLACK,
        fit: float = 0.0,
    ) -> float:
        """Draws one line and gives its width; `fit` shrinks it to at most that width."""
        width = self.measure(words, size, font)
        if fit and width > fit:
            size *= fit / width
            width = fit
        if align == "r":
            x -= width
        elif align == "c":
            x -= width / 2
        if words:
            self.put(x, y, words, size, font, color)
        return width

    def wrap(self, words: str, width: float, size: float, font: str = "R") -> list[str]:
        """Breaks a paragraph into lines."""
        lines: list[str] = []
        for part in words.split("\n"):
            line = ""
            for word in part.split():
                longer = f"{line} {word}".strip()
                if line and self.measure(longer, size, font) > width:
                    lines.append(line)
                    line = word
                else:
                    line = longer
            lines.append(line)
        return lines

    def para(
        self,
        x: float,
        y: float,
        width: float,
        words: str,
        size: float = 7.5,
        font: str = "R",
        leading: float = 0.0,
        color: Color = BLACK,
    ) -> float:
        """Draws a paragraph downwards from baseline `y`; gives the baseline after it."""
        for line in self.wrap(words, width, size, font):
            self.text(x, y, line, size, font, color=color)
            y -= leading or size * 1.18
        return y

    def check(self, x: float, y: float, on: bool = False, size: float = 6.5) -> None:
        """Draws a check box with its lower left corner at x, y."""
        self.rect(x, y, size, size, fill=WHITE, lw=0.6)
        if on:
            self.line(x + 1.2, y + 1.2, x + size - 1.2, y + size - 1.2, 1.0)
            self.line(x + 1.2, y + size - 1.2, x + size - 1.2, y + 1.2, 1.0)

    def choices(
        self, x: float, y: float, options: Sequence[tuple[str, bool]], gap: float = 8.0
    ) -> None:
        """Draws check boxes in a row, each followed by its word."""
        for word, on in options:
            self.check(x, y - 0.5, on)
            x += 9.5
            x += self.text(x, y, word, 7.5) + gap

    def blank(self, spot: Blank) -> None:
        """Fills a place in. Printed here; a PDF form makes a field of it when it is named."""
        self.write(spot)

    def write(self, spot: Blank) -> None:
        """Prints the value of a place in typewriter letters, one per cell in a comb."""
        base = spot.y + (spot.h - spot.size * 0.62) / 2
        if spot.comb:
            cell = spot.w / spot.comb
            for index, letter in enumerate(spot.value):
                self.text(spot.x + cell * (index + 0.5), base, letter, spot.size, "M", "c")
            return
        x = {"l": spot.x + 2, "r": spot.x + spot.w - 2, "c": spot.x + spot.w / 2}[spot.align]
        self.text(x, base, spot.value, spot.size, "M", spot.align, fit=spot.w - 3)

    def cells(self, x: float, y: float, w: float, h: float, count: int) -> None:
        """Draws the ticks of a comb of `count` cells."""
        for index in range(1, count):
            at = x + w * index / count
            self.line(at, y, at, y + h * 0.35, 0.4)
