"""A page as it is shown: its visible box, its rotation, its unit, and how to grow it."""

from dataclasses import dataclass, replace

import pikepdf

Corners = tuple[float, float, float, float]
_LETTER: Corners = (0.0, 0.0, 612.0, 792.0)
"""What readers assume where a page names no usable box."""


@dataclass(frozen=True)
class ShownPage:
    """How a page stands before its reader.

    `box` is in user space units (ISO 32000-2, 8.3.2.3); `width` and `height`
    are in points as shown, after /Rotate and /UserUnit.
    """

    box: Corners
    rotate: int
    unit: float

    @property
    def width(self) -> float:
        x0, y0, x1, y1 = self.box
        return self.unit * ((y1 - y0) if self.rotate in (90, 270) else (x1 - x0))

    @property
    def height(self) -> float:
        x0, y0, x1, y1 = self.box
        return self.unit * ((x1 - x0) if self.rotate in (90, 270) else (y1 - y0))

    def to_user_space(self) -> tuple[float, float, float, float, float, float]:
        """Matrix from points as shown (origin lower left, y upward) to user space."""
        x0, y0, x1, y1 = self.box
        k = 1 / self.unit
        return {
            0: (k, 0.0, 0.0, k, x0, y0),
            90: (0.0, k, -k, 0.0, x1, y0),
            180: (-k, 0.0, 0.0, -k, x1, y1),
            270: (0.0, -k, k, 0.0, x0, y1),
        }[self.rotate]

    def top_left(self) -> tuple[float, float]:
        """The upper left corner as shown, in user space."""
        _, _, c, d, e, f = self.to_user_space()
        return (c * self.height + e, d * self.height + f)

    def grown(self, below: float, right: float) -> "ShownPage":
        """The same page with more paper at its lower and right edge as shown, in points."""
        a, b, c, d, e, f = self.to_user_space()
        x0, y0, x1, y1 = self.box
        corners = [
            (a * x + c * y + e, b * x + d * y + f)
            for x in (0.0, self.width + right)
            for y in (-below, self.height)
        ]
        return replace(
            self,
            box=(
                min(x0, *(x for x, _ in corners)),
                min(y0, *(y for _, y in corners)),
                max(x1, *(x for x, _ in corners)),
                max(y1, *(y for _, y in corners)),
            ),
        )


def shown_page(page: pikepdf.Object) -> ShownPage:
    """Read a page dictionary whose inherited keys have been brought down to it."""
    media = _corners(page.get("/MediaBox")) or _LETTER
    crop = _corners(page.get("/CropBox")) or media
    box = (
        max(media[0], crop[0]),
        max(media[1], crop[1]),
        min(media[2], crop[2]),
        min(media[3], crop[3]),
    )
    if box[0] >= box[2] or box[1] >= box[3]:
        box = media
    rotate = _number(page.get("/Rotate"), 0.0)
    unit = _number(page.get("/UserUnit"), 1.0)
    return ShownPage(
        box=box,
        rotate=int(rotate) % 360 if rotate % 90 == 0 else 0,
        unit=unit if unit > 0 else 1.0,
    )


def set_box(page: pikepdf.Object, shown: ShownPage) -> None:
    """Give a page a larger visible box."""
    media = _corners(page.get("/MediaBox")) or _LETTER
    box = shown.box
    page.MediaBox = pikepdf.Array(
        [
            min(media[0], box[0]),
            min(media[1], box[1]),
            max(media[2], box[2]),
            max(media[3], box[3]),
        ]
    )
    page.CropBox = pikepdf.Array(list(box))


def _number(value: object, otherwise: float) -> float:
    try:
        return float(value)  # type: ignore[arg-type]  # anything a page may hold; the rest raises
    except (TypeError, ValueError):
        return otherwise


def _corners(value: object) -> Corners | None:
    if not isinstance(value, pikepdf.Array) or len(value) != 4:
        return None
    numbers = [_number(each, float("nan")) for each in value]
    x0, x1 = sorted((numbers[0], numbers[2]))
    y0, y1 = sorted((numbers[1], numbers[3]))
    return (x0, y0, x1, y1) if x1 > x0 and y1 > y0 else None
