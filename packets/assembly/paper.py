"""A coarse picture of a page's edge, to tell bare paper from print."""

from dataclasses import dataclass
from types import TracebackType
from typing import Any

import pymupdf
from PIL import Image

from packets.assembly.page_boxes import ShownPage

_WHITE = 252
"""At half a pixel per point a grey hairline still darkens its pixel below this."""
_LIGHT = 200
_EVEN = 5
"""Largest difference of tone inside plain paper, as scanners and tinted forms leave it."""


@dataclass(frozen=True)
class PaperStrip:
    """Grey pixels along one edge of a page as shown."""

    image: Image.Image
    x: int
    y: int
    """Of the first pixel, in pixels from the upper left corner of the page."""
    resolution: float
    """Pixels per point."""

    def is_bare(self, box: tuple[float, float, float, float], *, white: bool) -> bool:
        """Whether a box (points, origin upper left) shows paper only.

        With `white` every pixel must be white; without, evenly light. A box that
        reaches beyond the strip is not bare.
        """
        k = self.resolution
        left, top = int(box[0] * k) - self.x, int(box[1] * k) - self.y
        right, bottom = -int(-box[2] * k // 1) - self.x, -int(-box[3] * k // 1) - self.y
        if left < 0 or top < 0 or right > self.image.width or bottom > self.image.height:
            return False
        tones = self.image.crop((left, top, right, bottom)).tobytes()
        darkest, lightest = min(tones), max(tones)
        if white:
            return darkest >= _WHITE
        return darkest >= _LIGHT and lightest - darkest <= _EVEN


class PaperViewer:
    """Draws the edges of the pages of one PDF with MuPDF. Close it after use."""

    def __init__(self, pdf: bytes) -> None:
        self._document = pymupdf.open(stream=pdf, filetype="pdf")

    def __enter__(self) -> "PaperViewer":
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._document.close()

    def page(self, number: int, shown: ShownPage) -> "PageViewer | None":
        """One page (from 0), or None where MuPDF cannot draw it as `shown` describes it."""
        try:
            page = self._document[number]
            drawing = page.get_displaylist(annots=False)
        except (RuntimeError, ValueError, pymupdf.mupdf.FzErrorBase):
            return None
        same = abs(page.rect.width - shown.width) < 1 and abs(page.rect.height - shown.height) < 1
        return PageViewer(drawing, shown) if same else None


@dataclass(frozen=True)
class PageViewer:
    """The drawing of one page, ready to be looked at along its edges."""

    drawing: Any  # an engine object without type information
    shown: ShownPage

    def edge(self, at_top: bool, depth: float, resolution: float) -> PaperStrip | None:
        """The upper or lower edge, `depth` points deep; None where it cannot be drawn."""
        high = self.shown.height
        clip = (
            (0, 0, self.shown.width, depth) if at_top else (0, high - depth, self.shown.width, high)
        )
        try:
            pixels = self.drawing.get_pixmap(
                matrix=pymupdf.Matrix(resolution, resolution),
                colorspace=pymupdf.csGRAY,
                alpha=0,
                clip=pymupdf.Rect(clip),
            )
        except (RuntimeError, ValueError, pymupdf.mupdf.FzErrorBase):
            return None
        size = (pixels.width, pixels.height)
        image = Image.frombytes("L", size, pixels.samples, "raw", "L", pixels.stride)
        return PaperStrip(image, pixels.x, pixels.y, resolution)
