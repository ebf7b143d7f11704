"""Boxes on a page, in PDF points."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Box:
    """A rectangle in points (1/72 inch).

    Unless a docstring says otherwise, the origin is the upper left corner of
    the page as it is shown (after /Rotate), x to the right, y downward.
    """

    x0: float
    y0: float
    x1: float
    y1: float

    @property
    def width(self) -> float:
        return self.x1 - self.x0

    @property
    def height(self) -> float:
        return self.y1 - self.y0

    def rounded(self) -> tuple[float, float, float, float]:
        """The four numbers to a tenth of a point, for manifests and messages."""
        return (round(self.x0, 1), round(self.y0, 1), round(self.x1, 1), round(self.y1, 1))

    def joined(self, other: "Box") -> "Box":
        """The smallest box that holds both."""
        return Box(
            min(self.x0, other.x0),
            min(self.y0, other.y0),
            max(self.x1, other.x1),
            max(self.y1, other.y1),
        )

    def grown(self, by: float) -> "Box":
        """The box with so many points more on every side."""
        return Box(self.x0 - by, self.y0 - by, self.x1 + by, self.y1 + by)

    def holds(self, x: float, y: float) -> bool:
        """Whether a point lies in it or on its edge."""
        return self.x0 <= x <= self.x1 and self.y0 <= y <= self.y1

    def lies_in(self, outer: "Box") -> bool:
        """Whether no part of it is outside of the other."""
        return outer.holds(self.x0, self.y0) and outer.holds(self.x1, self.y1)

    def overlaps(self, other: "Box") -> bool:
        """Whether the two share any area."""
        return (
            self.x0 < other.x1 and other.x0 < self.x1 and self.y0 < other.y1 and other.y0 < self.y1
        )
