"""Boxes as four plain numbers: x0, y0, x1, y1, in pixels or points as each place says."""

from collections.abc import Sequence

PixelBox = tuple[float, float, float, float]


def around(boxes: Sequence[PixelBox]) -> PixelBox:
    """The smallest box that holds all of them."""
    lefts, tops, rights, bottoms = zip(*boxes, strict=True)
    return min(lefts), min(tops), max(rights), max(bottoms)
