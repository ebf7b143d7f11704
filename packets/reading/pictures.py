"""Pictures on a page: the page drawn as pixels, and each picture it places."""

from dataclasses import dataclass

import pymupdf
from PIL import Image

READ_DPI = 200
"""Resolution at which a page without text is drawn for OCR."""
_LARGEST_SIDE = 6000


@dataclass(frozen=True)
class PlacedPicture:
    """One picture as it lies on a page."""

    xref: int
    """Object number of the image; 0 for an inline picture."""
    width: int
    height: int
    """Its own size in pixels."""
    matrix: pymupdf.Matrix
    """Maps the unit square, y downward, onto the unrotated page in points."""


def page_picture(page: pymupdf.Page, dpi: int = READ_DPI) -> Image.Image | None:
    """The page as shown, in grey at `dpi`; None when nothing is drawn on it.

    A page so large that the picture would pass 6,000 pixels is drawn smaller.
    """
    longest = max(page.rect.width, page.rect.height, 1.0)
    scale = min(dpi / 72, _LARGEST_SIDE / longest)
    pixels = page.get_pixmap(
        matrix=pymupdf.Matrix(scale, scale), colorspace=pymupdf.csGRAY, alpha=False
    )
    picture = Image.frombytes("L", (pixels.width, pixels.height), pixels.samples)
    low, high = picture.getextrema()
    return None if low == high else picture


def placed_pictures(page: pymupdf.Page) -> tuple[PlacedPicture, ...]:
    """Every picture that the page places, once per place, inside forms too."""
    return tuple(
        PlacedPicture(
            info["xref"], info["width"], info["height"], pymupdf.Matrix(*info["transform"])
        )
        for info in page.get_image_info(xrefs=True)
    )
