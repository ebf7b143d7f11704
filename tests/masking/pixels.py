"""Pages as pixels by PDFium, and where two of them differ."""

import contextlib

import pypdfium2
from PIL import Image, ImageChops, ImageDraw

SCALE = 3
"""Pixels per point."""
Area = tuple[float, float, float, float]


def pixels(pdf: bytes, page: int = 0) -> Image.Image:
    with contextlib.closing(pypdfium2.PdfDocument(pdf)) as document:
        return document[page].render(scale=SCALE).to_pil().convert("RGB")


def differs_outside(one: bytes, other: bytes, areas: list[Area], page: int = 0) -> int:
    """Pixels that differ outside the given areas (points from the upper left), grown by a point."""
    before, after = pixels(one, page), pixels(other, page)
    assert before.size == after.size
    difference = ImageChops.difference(before, after).convert("L").point(lambda v: 255 * (v > 8))
    draw = ImageDraw.Draw(difference)
    for x0, y0, x1, y1 in areas:
        box = ((x0 - 1) * SCALE, (y0 - 1) * SCALE, (x1 + 1) * SCALE, (y1 + 1) * SCALE)
        draw.rectangle(box, fill=0)
    return difference.histogram()[255]


def colours_in(pdf: bytes, area: Area, page: int = 0) -> set[tuple[int, int, int]]:
    """Colours of at least 8 pixels in an area."""
    part = pixels(pdf, page).crop(tuple(round(side * SCALE) for side in area))
    return {colour for count, colour in part.getcolors(1 << 20) or [] if count >= 8}


def ink_box(pdf: bytes, area: Area, page: int = 0) -> Area | None:
    """Box around everything dark in an area, in points."""
    part = pixels(pdf, page).crop(tuple(round(side * SCALE) for side in area)).convert("L")
    box = part.point(lambda v: 255 * (v < 128)).getbbox()
    if box is None:
        return None
    return tuple(area[k % 2] + side / SCALE for k, side in enumerate(box))
