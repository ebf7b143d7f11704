"""A page's outlines by themselves, in black: also where the page covers them or draws them pale.

What is drawn white on white, or under a rectangle, nobody sees, and everybody can
take out of the file.
"""

import ctypes
from typing import Any

import pypdfium2.raw as pdfium_c
from PIL import Image, ImageChops

from packets.base.limits import Limits
from packets.outbound.ink_shapes import Bounds
from packets.outbound.page_ink import PageInk
from packets.outbound.page_regions import page_pixels, regions
from packets.outbound.pdfium_document import Page

_INK = 140
_MISSING = 0.02
"""Share of the outlines' ink that the page may lack: edges are drawn a little differently."""
_DARK_ABOUT = 0.4
"""Share of the place about them that may be dark as well."""


def hidden_outlines(
    page: Page, ink: PageInk, shown: Image.Image, boxes: list[Bounds], limits: Limits
) -> tuple[Image.Image, ...]:
    """The parts of a page around `boxes` with nothing but outlines, where it does not show them.

    `shown` is the page as it looks. The open page is changed: it must be looked at
    no more. Raises OverLimit.
    """
    if not ink.outlines:
        return ()
    kept = {_address(item) for item in (*ink.outlines, *ink.forms)}
    others = [item for item in _top_level(page) if _address(item) not in kept]
    for item in others:
        pdfium_c.FPDFPage_RemoveObject(page.raw, item)
        pdfium_c.FPDFPageObj_Destroy(item)
    for item in ink.outlines:
        pdfium_c.FPDFPageObj_SetFillColor(item, 0, 0, 0, 255)
        pdfium_c.FPDFPageObj_SetStrokeColor(item, 0, 0, 0, 255)
        pdfium_c.FPDFPageObj_SetBlendMode(item, b"Normal")
    alone = page_pixels(page, limits)
    pairs = zip(regions(page, alone, boxes), regions(page, shown, boxes), strict=True)
    return tuple(drawn for drawn, seen in pairs if _is_hidden(drawn, seen))


def _is_hidden(drawn: Image.Image, seen: Image.Image) -> bool:
    """Whether the page lacks some of the ink, or is as dark about it."""
    ink, dark = (picture.convert("L").point(_dark) for picture in (drawn, seen))
    missing = _count(ImageChops.subtract(ink, dark))
    about = _count(ImageChops.subtract(dark, ink))
    paper = ink.width * ink.height - _count(ink)
    return missing > _MISSING * _count(ink) or about > _DARK_ABOUT * paper


def _dark(value: int) -> int:
    return 255 if value < _INK else 0


def _count(flags: Image.Image) -> int:
    return flags.histogram()[255]


def _top_level(page: Page) -> list[Any]:
    count = pdfium_c.FPDFPage_CountObjects(page.raw)
    return [pdfium_c.FPDFPage_GetObject(page.raw, index) for index in range(count)]


def _address(item: Any) -> int:
    return ctypes.addressof(item.contents)
