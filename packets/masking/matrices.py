"""The six numbers of a PDF transformation (ISO 32000-2, 8.3.4)."""

from typing import NamedTuple


class Matrix(NamedTuple):
    """[a b c d e f]: x' = a x + c y + e, y' = b x + d y + f."""

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    def times(self, after: "Matrix") -> "Matrix":
        """First this one, then `after`."""
        a, b, c, d, e, f = self
        ra, rb, rc, rd, re, rf = after
        return Matrix(
            a * ra + b * rc,
            a * rb + b * rd,
            c * ra + d * rc,
            c * rb + d * rd,
            e * ra + f * rc + re,
            e * rb + f * rd + rf,
        )

    def point(self, x: float, y: float) -> tuple[float, float]:
        """Where a point lands."""
        return self.a * x + self.c * y + self.e, self.b * x + self.d * y + self.f


IDENTITY = Matrix()
