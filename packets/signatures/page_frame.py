"""Where things lie on a page: the page as shown, a widget's own upright frame, and between."""

from dataclasses import dataclass

import pikepdf
from pikepdf import Object

from packets.base.geometry import Box
from packets.signatures.form_fields import Widget, line_upward, rectangle, whole

LETTER = (0.0, 0.0, 612.0, 792.0)
"""What viewers assume where a page names no size."""
Rect = tuple[float, float, float, float]
Matrix = tuple[float, float, float, float, float, float]


@dataclass(frozen=True)
class PageFrame:
    """The visible area of a page and how it is turned (ISO 32000-2, 7.7.3.3)."""

    visible: Rect
    """Crop box within media box, default user space."""
    rotation: int
    """/Rotate: degrees clockwise, 0, 90, 180 or 270."""

    def shown_box(self, area: Rect) -> Box:
        """An area of default user space on the page as shown, origin upper left."""
        x0, y0, x1, y1 = area
        left, bottom, right, top = self.visible
        if self.rotation == 90:
            return Box(y0 - bottom, x0 - left, y1 - bottom, x1 - left)
        if self.rotation == 180:
            return Box(right - x1, y0 - bottom, right - x0, y1 - bottom)
        if self.rotation == 270:
            return Box(top - y1, right - x1, top - y0, right - x0)
        return Box(x0 - left, top - y1, x1 - left, top - y0)

    def area_of(self, shown: Box) -> Rect:
        """An area of the page as shown in default user space: the way back from `shown_box`."""
        left, bottom, right, top = self.visible
        if self.rotation == 90:
            return (left + shown.y0, bottom + shown.x0, left + shown.y1, bottom + shown.x1)
        if self.rotation == 180:
            return (right - shown.x1, bottom + shown.y0, right - shown.x0, bottom + shown.y1)
        if self.rotation == 270:
            return (right - shown.y1, top - shown.x1, right - shown.y0, top - shown.x0)
        return (left + shown.x0, top - shown.y1, left + shown.x1, top - shown.y0)

    def shows(self, area: Rect) -> bool:
        """Whether any of the area is on the visible page."""
        x0, y0, x1, y1 = area
        left, bottom, right, top = self.visible
        return x0 < right and x1 > left and y0 < top and y1 > bottom


@dataclass(frozen=True)
class WidgetFrame:
    """A widget's box with its own left, right, top and bottom, however it is turned."""

    area: Rect
    degrees: int
    """Counterclockwise, from the x axis of default user space to the widget's reading direction."""

    @property
    def width(self) -> float:
        """Along the reading direction, in points."""
        x0, y0, x1, y1 = self.area
        return x1 - x0 if self.degrees % 180 == 0 else y1 - y0

    @property
    def height(self) -> float:
        """Across the reading direction, in points."""
        x0, y0, x1, y1 = self.area
        return y1 - y0 if self.degrees % 180 == 0 else x1 - x0

    @property
    def matrix(self) -> Matrix:
        """From the frame (origin at its lower left, x along the reading) to default user space."""
        x0, y0, x1, y1 = self.area
        return {
            0: (1.0, 0.0, 0.0, 1.0, x0, y0),
            90: (0.0, 1.0, -1.0, 0.0, x1, y0),
            180: (-1.0, 0.0, 0.0, -1.0, x1, y1),
            270: (0.0, -1.0, 1.0, 0.0, x0, y1),
        }[self.degrees]

    def on_page(self, part: Rect) -> Rect:
        """A rectangle of the frame in default user space."""
        a, b, c, d, e, f = self.matrix
        x0, y0, x1, y1 = part
        first = (a * x0 + c * y0 + e, b * x0 + d * y0 + f)
        second = (a * x1 + c * y1 + e, b * x1 + d * y1 + f)
        return (
            min(first[0], second[0]),
            min(first[1], second[1]),
            max(first[0], second[0]),
            max(first[1], second[1]),
        )


def page_frame(page: pikepdf.Page) -> PageFrame:
    """Visible area and rotation of a page, inherited values included."""
    media = rectangle(_from_tree(page, "/MediaBox")) or LETTER
    crop = rectangle(_from_tree(page, "/CropBox")) or media
    visible = (
        max(media[0], crop[0]),
        max(media[1], crop[1]),
        min(media[2], crop[2]),
        min(media[3], crop[3]),
    )
    if visible[0] >= visible[2] or visible[1] >= visible[3]:
        visible = media
    rotation = whole(_from_tree(page, "/Rotate")) or 0
    return PageFrame(visible, round(rotation / 90) * 90 % 360)


def widget_frame(widget: Widget, page: PageFrame) -> WidgetFrame | None:
    """The upright frame of a widget; None where it has no box.

    Its own /MK /R decides which way it reads; without one, upright as the page is shown.
    """
    if widget.rect is None:
        return None
    degrees = widget.rotation if widget.rotation is not None else page.rotation
    return WidgetFrame(widget.rect, degrees)


def _from_tree(page: pikepdf.Page, key: str) -> Object | None:
    """A page attribute from the page or the nearest node above it (7.7.3.4)."""
    for node in line_upward(page.obj):
        value = node.get(key)
        if value is not None:
            return value
    return None
