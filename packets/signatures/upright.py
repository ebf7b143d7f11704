"""A page turned so that print of one direction reads from left to right."""

from dataclasses import dataclass

import pymupdf

from packets.base.geometry import Box
from packets.signatures.page_frame import PageFrame, Rect, WidgetFrame


@dataclass(frozen=True)
class Upright:
    """The page as shown, turned counterclockwise by quarter turns; points, origin upper left."""

    turn: int
    """Degrees: 0, 90, 180 or 270."""
    width: float
    height: float
    """Of the upright page, in points as MuPDF counts them (/UserUnit applied)."""

    def point(self, at: tuple[float, ...]) -> tuple[float, float]:
        """A point of the page as shown on the upright page."""
        x, y = at
        match self.turn:
            case 90:
                return y, self.height - x
            case 180:
                return self.width - x, self.height - y
            case 270:
                return self.width - y, x
        return x, y

    def box(self, area: tuple[float, ...]) -> Rect:
        """An area of the page as shown on the upright page."""
        x0, y0 = self.point(area[:2])
        x1, y1 = self.point(area[2:])
        return min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1)

    def shown(self, box: Box) -> Box:
        """An area of the upright page on the page as shown."""
        sideways = self.turn % 180 != 0
        size = (self.height, self.width) if sideways else (self.width, self.height)
        back = Upright(-self.turn % 360, *size)
        return Box(*back.box((box.x0, box.y0, box.x1, box.y1)))


def turn_of(across: float, down: float) -> int:
    """The quarter turns that make print of this direction (on the page as shown) read upright."""
    if abs(across) >= abs(down):
        return 0 if across >= 0 else 180
    return 90 if down > 0 else 270


def upright_of(page: pymupdf.Page, turn: int) -> Upright:
    """A page turned by so many degrees."""
    width, height = page.rect.width, page.rect.height
    return Upright(turn, height, width) if turn % 180 else Upright(turn, width, height)


def frame_of(box: Box, upright: Upright, page: PageFrame) -> WidgetFrame:
    """A box of the upright page as a frame in default user space that reads as its print does."""
    sideways = upright.turn % 180 != 0
    shown_width = upright.height if sideways else upright.width
    left, bottom, right, top = page.visible
    own_width = top - bottom if page.rotation % 180 else right - left
    unit = own_width / shown_width  # other than 1 where the page has a /UserUnit
    shown = upright.shown(box)
    scaled = Box(shown.x0 * unit, shown.y0 * unit, shown.x1 * unit, shown.y1 * unit)
    return WidgetFrame(page.area_of(scaled), (page.rotation - upright.turn) % 360)


def box_of(area: Rect, upright: Upright, page: PageFrame) -> Box:
    """An area of default user space on the upright page."""
    sideways = upright.turn % 180 != 0
    shown_width = upright.height if sideways else upright.width
    left, bottom, right, top = page.visible
    unit = shown_width / (top - bottom if page.rotation % 180 else right - left)
    shown = page.shown_box(area)
    return Box(*upright.box((shown.x0 * unit, shown.y0 * unit, shown.x1 * unit, shown.y1 * unit)))
