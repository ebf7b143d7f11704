"""Pages as pixels by PDFium, and where two of them differ."""

import contextlib
import ctypes
import unicodedata

import pypdfium2
from PIL import Image, ImageChops, ImageDraw

SCALE = 3
"""Pixels per point."""
Area = tuple[float, float, float, float]


def pixels(pdf: bytes, page: int = 0) -> Image.Image:
    with contextlib.closing(pypdfium2.PdfDocument(pdf)) as document:
        return document[page].render(scale=SCALE).to_pil().convert("RGB")


def differs_outside(
    one: bytes, other: bytes, areas: list[Area], page: int = 0, *, by: int = 8
) -> int:
    """Pixels that differ by more than `by` outside the areas, each grown by a point.

    Areas are in points from the upper left.
    """
    before, after = pixels(one, page), pixels(other, page)
    assert before.size == after.size
    difference = ImageChops.difference(before, after).convert("L").point(lambda v: 255 * (v > by))
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


def cells_of(pdf: bytes, wanted: str, page: int = 0) -> list[Area]:
    """Cells of all characters of `wanted` on a page by PDFium's text, as they are shown."""
    areas = []
    with contextlib.closing(pypdfium2.PdfDocument(pdf)) as document:
        sheet = document[page]
        width, height = (round(side * SCALE) for side in sheet.get_size())
        text = sheet.get_textpage()
        for index in range(text.count_chars()):
            char = chr(pypdfium2.raw.FPDFText_GetUnicode(text, index) & 0xFFFF)
            if unicodedata.normalize("NFKC", char)[:1] not in wanted:
                continue
            left, bottom, right, top = text.get_charbox(index, loose=True)
            corners = [
                _shown(sheet, width, height, x, y) for x, y in ((left, bottom), (right, top))
            ]
            xs, ys = zip(*corners, strict=True)
            areas.append((min(xs), min(ys), max(xs), max(ys)))
    return areas


def _shown(
    sheet: pypdfium2.PdfPage, width: int, height: int, x: float, y: float
) -> tuple[float, float]:
    """A place of the page in points from the upper left of what is shown."""
    across, down = ctypes.c_int(), ctypes.c_int()
    pointers = ctypes.byref(across), ctypes.byref(down)
    pypdfium2.raw.FPDF_PageToDevice(sheet, 0, 0, width, height, 0, x, y, *pointers)
    return across.value / SCALE, down.value / SCALE
