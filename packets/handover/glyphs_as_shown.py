"""Where PDFium sees glyphs on a page as it is shown: another reader than the one that drew them."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import pypdfium2


def glyph_middles(page: "pypdfium2.PdfPage") -> Iterator[tuple[str, float, float]]:
    """Each glyph that is no space with its middle, in points from the upper left corner.

    In the order of the text; points are those of user space, before any UserUnit.
    """
    text = page.get_textpage()
    for at in range(text.count_chars()):
        char = text.get_text_range(at, 1)
        if char.strip():
            left, bottom, right, top = text.get_charbox(at)
            yield char, *_shown(page, (left + right) / 2, (bottom + top) / 2)


def shown_size(page: "pypdfium2.PdfPage") -> tuple[float, float]:
    """Width and height of the page as it is shown, in the same points."""
    left, bottom, right, top = _area(page)
    across, up = right - left, top - bottom
    return (up, across) if page.get_rotation() % 180 else (across, up)


def _area(page: "pypdfium2.PdfPage") -> tuple[float, float, float, float]:
    """What crop box and media box share (ISO 32000-2, 14.11.2)."""
    crop, media = page.get_cropbox(), page.get_mediabox()
    left, bottom = max(crop[0], media[0]), max(crop[1], media[1])
    right, top = min(crop[2], media[2]), min(crop[3], media[3])
    return left, bottom, right, top


def _shown(page: "pypdfium2.PdfPage", x: float, y: float) -> tuple[float, float]:
    left, bottom, right, top = _area(page)
    return {
        0: (x - left, top - y),
        90: (y - bottom, x - left),
        180: (right - x, y - bottom),
        270: (top - y, right - x),
    }[page.get_rotation() % 360]
