"""Pictures that lie edge to edge on a page: a scan cut into strips or tiles reads as one."""

from collections.abc import Sequence
from dataclasses import dataclass

from PIL import Image

from packets.base.limits import DEFAULT_LIMITS
from packets.masking.pixel_boxes import PixelBox
from packets.reading.pictures import PlacedPicture

_TOUCH = 1.0
"""Edges this close, in points, touch."""
_SHARED = 0.5
"""Share of the shorter edge along which two neighbours must touch."""


@dataclass(frozen=True)
class Part:
    """One stored picture in what was read, and where it lies there in pixels."""

    placed: PlacedPicture
    box: PixelBox


@dataclass(frozen=True)
class Mosaic:
    """Parts put together as the page shows them."""

    parts: tuple[Part, ...]
    grey: Image.Image


def groups_of(pictures: Sequence[PlacedPicture]) -> list[list[PlacedPicture]]:
    """Pictures that touch one another, directly or through others; only groups of two or more."""
    waiting = list(pictures)
    groups = []
    while waiting:
        group = [waiting.pop(0)]
        for member in group:
            near = [other for other in waiting if _touch(member.shown, other.shown)]
            group.extend(near)
            waiting = [other for other in waiting if other not in near]
        if len({member.xref for member in group}) > 1:
            groups.append(group)
    return groups


def _touch(one: PixelBox, other: PixelBox) -> bool:
    """Edge to edge; pictures that lie over one another are no neighbours."""
    for along, across in ((0, 1), (1, 0)):
        shared = min(one[along + 2], other[along + 2]) - max(one[along], other[along])
        shorter = min(one[along + 2] - one[along], other[along + 2] - other[along])
        gap = max(one[across], other[across]) - min(one[across + 2], other[across + 2])
        if shared >= _SHARED * shorter > 0 and abs(gap) <= _TOUCH:
            return True
    return False


def put_together(group: Sequence[tuple[PlacedPicture, Image.Image]]) -> Mosaic | None:
    """The parts on one canvas, at the finest resolution among them; None when too large."""
    left, top = (min(picture.shown[k] for picture, _ in group) for k in (0, 1))
    right, bottom = (max(picture.shown[k] for picture, _ in group) for k in (2, 3))
    scale = max(
        grey.width / max(picture.shown[2] - picture.shown[0], 0.01) for picture, grey in group
    )
    width, height = round((right - left) * scale), round((bottom - top) * scale)
    if not 0 < width * height <= DEFAULT_LIMITS.picture_pixels:
        return None
    canvas = Image.new("L", (width, height), 255)
    parts = []
    for picture, grey in group:
        x0, y0, x1, y1 = (
            round((side - (left, top)[k % 2]) * scale) for k, side in enumerate(picture.shown)
        )
        if x1 > x0 and y1 > y0:
            canvas.paste(
                grey if grey.size == (x1 - x0, y1 - y0) else grey.resize((x1 - x0, y1 - y0)),
                (x0, y0),
            )
            parts.append(Part(picture, (x0, y0, x1, y1)))
    return Mosaic(tuple(parts), canvas)
