"""A page drawn as pixels, whole or only where something besides text stands."""

import ctypes

import pypdfium2.raw as pdfium_c
from PIL import Image

from packets.base.errors import OverLimit
from packets.base.limits import Limits
from packets.outbound.ink_shapes import Bounds
from packets.outbound.pdfium_document import Page

_DPI = 200
_LEAST_DPI = 100
_PAGE_PIXELS = 60_000_000
_NEAR = 36
"""Regions closer than this many pixels are read together."""
_MARGIN = 12

Crop = tuple[int, int, int, int]


def page_pixels(page: Page, limits: Limits) -> Image.Image:
    """The page in colour at 200 dots per inch, fewer where it is very large. Raises OverLimit."""
    width, height = page.get_size()
    dpi = float(_DPI)
    while (width * dpi / 72) * (height * dpi / 72) > _PAGE_PIXELS and dpi >= _LEAST_DPI:
        dpi *= 0.8
    if dpi < _LEAST_DPI or max(width, height) * dpi / 72 >= limits.picture_side:
        raise OverLimit("too large to be looked at")
    picture: Image.Image = page.render(scale=dpi / 72).to_pil()
    return picture.convert("RGB")


def regions(page: Page, shown: Image.Image, boxes: list[Bounds]) -> tuple[Image.Image, ...]:
    """The parts of a drawn page around `boxes`, neighbours together."""
    crops = [_crop(page, shown, box) for box in boxes]
    return tuple(shown.crop(crop) for crop in _joined([c for c in crops if c is not None]))


def _crop(page: Page, shown: Image.Image, box: Bounds) -> Crop | None:
    xs: list[int] = []
    ys: list[int] = []
    for x, y in ((box[0], box[1]), (box[2], box[3])):
        px, py = ctypes.c_int(), ctypes.c_int()
        pdfium_c.FPDF_PageToDevice(
            page.raw, 0, 0, shown.width, shown.height, 0, x, y, ctypes.byref(px), ctypes.byref(py)
        )
        xs.append(px.value)
        ys.append(py.value)
    left, right = max(0, min(xs) - _MARGIN), min(shown.width, max(xs) + _MARGIN)
    top, bottom = max(0, min(ys) - _MARGIN), min(shown.height, max(ys) + _MARGIN)
    return (left, top, right, bottom) if left < right and top < bottom else None


def _joined(crops: list[Crop]) -> list[Crop]:
    """Crops that lie near one another made one, until none do."""
    if len(crops) > 400:
        return [_around(crops)]
    done: list[Crop] = []
    for crop in sorted(crops):
        grown = crop
        while True:
            near = [other for other in done if _are_near(grown, other)]
            if not near:
                break
            done = [other for other in done if other not in near]
            grown = _around([grown, *near])
        done.append(grown)
    return done


def _are_near(one: Crop, other: Crop) -> bool:
    return (
        one[0] - _NEAR < other[2]
        and other[0] - _NEAR < one[2]
        and one[1] - _NEAR < other[3]
        and other[1] - _NEAR < one[3]
    )


def _around(crops: list[Crop]) -> Crop:
    return (
        min(crop[0] for crop in crops),
        min(crop[1] for crop in crops),
        max(crop[2] for crop in crops),
        max(crop[3] for crop in crops),
    )
