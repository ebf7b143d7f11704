"""Glyphs of a part of a page, without a look at the rest."""

from collections.abc import Iterator
from typing import Any

import pymupdf

from packets.reading.glyphs import STRUCTURED, PageGlyphs, Traced

_LEAST_ASCENDER = 1e-3
"""A font that claims less is taken to reach as far as most do, as the trace takes it."""
_FAR = 1_000_000.0
"""Points; wider than any page."""


def band_glyphs(page: pymupdf.Page, top: float, bottom: float) -> PageGlyphs | None:
    """The glyphs between two heights of the unrotated page; points, y downward.

    None where a line there does not simply run to the right.
    """
    clip = pymupdf.Rect(-_FAR, top, _FAR, bottom)
    raw = page.get_text("rawdict", flags=STRUCTURED, clip=clip)
    lines = [line for block in raw["blocks"] for line in block.get("lines", ())]
    if any(line["dir"] != (1.0, 0.0) or line["wmode"] for line in lines):
        return None
    return PageGlyphs([span for line in lines for span in _drawn_spans(line)], {})


def _drawn_spans(line: dict[str, Any]) -> Iterator[Traced]:
    """The spans of a line as the trace gives them, without spaces that nobody drew.

    The trace makes each box as high as the type size.
    """
    for span in line["spans"]:
        ascender, descender, size = span["ascender"], span["descender"], span["size"]
        if ascender < _LEAST_ASCENDER:
            ascender, descender = 0.9, -0.1
        above = ascender * size / (ascender - descender)
        chars = []
        for item in span["chars"]:
            if not item["synthetic"]:
                (left, _, right, _), (_, base) = item["bbox"], item["origin"]
                box = (left, base - above, right, base - above + size)
                chars.append((ord(item["c"]), 0, item["origin"], box))
        if chars:
            yield {
                "dir": line["dir"], "wmode": line["wmode"], "size": span["size"],
                "color": _components(span["color"]), "chars": chars,
                "ascender": span["ascender"], "descender": span["descender"],
            }  # fmt: skip


def _components(colour: int) -> tuple[float, ...]:
    """Red, green and blue from 0 to 1."""
    return (colour >> 16 & 255) / 255, (colour >> 8 & 255) / 255, (colour & 255) / 255
