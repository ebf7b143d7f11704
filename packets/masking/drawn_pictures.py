"""Drawn shapes by themselves: black on white, whatever their colour and what lies over them.

So the reading does not depend on the page's own rendering: white shapes on
white, shapes under a box, in a layer or beside the page are read all the same.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

import pymupdf
from PIL import Image

from packets.reading.unexplained_ink import DrawnShape, Item, box_of, outlines_of
from packets.reading.unexplained_rows import Box, around

MARGIN = 6.0
"""White around what is drawn, in points."""
_LARGEST_SIDE = 6000

Point = tuple[float, float]


def shapes_within(shapes: Iterable[DrawnShape], box: Box) -> tuple[DrawnShape, ...]:
    """Those that lie inside a box, and of larger paths the outlines that do.

    Rules and frames that reach beyond it stay out.
    """
    return tuple(inside for shape in shapes for inside in _within(shape, box))


def _within(shape: DrawnShape, box: Box) -> Iterator[DrawnShape]:
    if holds(box, shape.box):
        yield shape
    elif _meets(box, shape.box) and len(shape.items) > 1:
        inside = [outline for outline in outlines_of(shape.items) if holds(box, box_of(outline))]
        if inside:
            around_them = around(box_of(outline) for outline in inside)
            yield replace(shape, box=around_them, items=[it for part in inside for it in part])


def _meets(one: Box, other: Box) -> bool:
    return one[0] <= other[2] and other[0] <= one[2] and one[1] <= other[3] and other[1] <= one[3]


def holds(outer: Box, inner: Box, slack: float = 0.6) -> bool:
    """Whether a box lies inside another, but for a hair."""
    return (
        inner[0] >= outer[0] - slack
        and inner[1] >= outer[1] - slack
        and inner[2] <= outer[2] + slack
        and inner[3] <= outer[3] + slack
    )


def shapes_picture(shapes: Sequence[DrawnShape], box: Box, scale: float) -> Image.Image:
    """The shapes in grey, `scale` pixels to a point; its corner is `box` less the margin."""
    width, height = box[2] - box[0] + 2 * MARGIN, box[3] - box[1] + 2 * MARGIN
    scale = min(scale, _LARGEST_SIDE / max(width, height))
    document = pymupdf.open()
    try:
        page = document.new_page(width=width, height=height)
        xref = document.get_new_xref()
        document.update_object(xref, "<<>>")
        document.update_stream(xref, _content(shapes, box, height))
        page.set_contents(xref)
        pixels = page.get_pixmap(
            matrix=pymupdf.Matrix(scale, scale), colorspace=pymupdf.csGRAY, alpha=False
        )
        return Image.frombytes("L", (pixels.width, pixels.height), pixels.samples)
    finally:
        document.close()


def _content(shapes: Sequence[DrawnShape], box: Box, height: float) -> bytes:
    left, top = MARGIN - box[0], height - MARGIN + box[1]
    lines = [f"1 0 0 -1 {left:.4f} {top:.4f} cm 1 J 1 j"]
    for shape in shapes:
        lines.extend(path_operators(shape.items))
        paint = ("f*" if shape.even_odd else "f") if shape.fills else "S"
        lines.append(f"{max(shape.width, 0.3):.3f} w {paint}" if paint == "S" else paint)
    return "\n".join(lines).encode()


def path_operators(items: Sequence[Item]) -> Iterator[str]:
    """Path operators for the items of one drawing."""
    at: Point | None = None
    for item in items:
        kind, points = item[0], item[1:]
        if kind in ("re", "qu"):
            at = None
            yield _closed(_corners(item))
        else:
            if points[0] != at:
                yield f"{_point(points[0])} m"
            yield " ".join(_point(point) for point in points[1:]) + (" l" if kind == "l" else " c")
            at = points[-1]


def _corners(item: Item) -> tuple[Point, ...]:
    """The corners of a rectangle in the direction in which it is drawn, or of a quad."""
    if item[0] == "qu":
        upper_left, upper_right, lower_left, lower_right = item[1]
        return upper_left, upper_right, lower_right, lower_left
    x0, y0, x1, y1 = item[1]
    corners = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    return corners[::-1] if len(item) > 2 and item[2] == -1 else corners


def _closed(points: Sequence[Point]) -> str:
    first, *others = (_point(point) for point in points)
    return f"{first} m " + " ".join(f"{point} l" for point in others) + " h"


def _point(point: Point) -> str:
    return f"{point[0]:.4f} {point[1]:.4f}"
