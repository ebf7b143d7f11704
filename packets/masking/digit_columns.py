"""Where digits really stand in a picture: OCR boxes brought to the ink.

The engine's box of a single character may be some pixels off. Around the boxes
of the digits that go, the ink is parted into columns; a digit's box is widened
to the column it meets, so that no remainder of a stroke survives at its edge.
"""

from collections.abc import Sequence

from PIL import Image

from packets.masking.pixel_boxes import PixelBox

_MARGIN = 2


def digit_boxes(picture: Image.Image, boxes: Sequence[PixelBox]) -> tuple[PixelBox, ...]:
    """Boxes in pixels that cover the ink of the given digits, and not their neighbours."""
    grey = picture.convert("L")
    return tuple(_fitted(grey, box) for box in boxes)


def _fitted(grey: Image.Image, box: PixelBox) -> PixelBox:
    x0, y0, x1, y1 = box
    width, height = max(x1 - x0, 1.0), max(y1 - y0, 1.0)
    reach = width * 0.45
    left, right = max(0, int(x0 - reach)), min(grey.width, int(x1 + reach) + 1)
    top, bottom = max(0, int(y0 - _MARGIN)), min(grey.height, int(y1 + _MARGIN) + 1)
    if right <= left or bottom <= top:
        return box
    columns = _ink_columns(grey.crop((left, top, right, bottom)))
    start, end = int(x0) - left, int(x1) - left
    low = _edge(columns, start, -1)
    high = _edge(columns, end, +1)
    return (
        float(left + min(low, start)),
        float(y0 - max(_MARGIN, height * 0.06)),
        float(left + max(high, end)),
        float(y1 + max(_MARGIN, height * 0.06)),
    )


def _ink_columns(strip: Image.Image) -> list[bool]:
    """Whether each column of the strip holds ink: the side of halfway that has fewer pixels."""
    low, high = strip.getextrema()
    if not isinstance(low, (int, float)) or not isinstance(high, (int, float)) or high - low < 24:
        return [False] * strip.width
    limit = (low + high) / 2
    dark = sum(count for tone, count in enumerate(strip.histogram()) if tone < limit)
    on_light = dark * 2 <= strip.width * strip.height
    inked = strip.point([255 if (value < limit) is on_light else 0 for value in range(256)])
    profile = inked.resize((strip.width, 1), Image.Resampling.BOX)
    return [bool(value) for value in profile.get_flattened_data()]


def _edge(columns: Sequence[bool], at: int, step: int) -> int:
    """The first column without ink from `at` on in one direction, or where the strip ends."""
    at = min(max(at, 0), len(columns) - 1)
    start = at
    while 0 <= at + step < len(columns) and columns[at]:
        at += step
    return at if not columns[at] else start
