"""Boxes and pictures in quarter turns: the page as it lies, and as its ink reads upright."""

from collections.abc import Sequence

from packets.masking.drawn_pictures import MARGIN
from packets.masking.drawn_records import PageBox

TURNS = 4
"""Quarter turns to a full one."""
WAYS = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))
"""How upright text ran before each count of counter-clockwise quarter turns."""


def framed(box: Sequence[float], turns: int) -> PageBox:
    """A box of the unrotated page where text of that direction runs to the right."""
    cosine, sine = WAYS[turns]
    xs = [x * cosine + y * sine for x in (box[0], box[2]) for y in (box[1], box[3])]
    ys = [y * cosine - x * sine for x in (box[0], box[2]) for y in (box[1], box[3])]
    return min(xs), min(ys), max(xs), max(ys)


def on_page(pixels: Sequence[float], turns: int, size: tuple[int, int], box: PageBox) -> PageBox:
    """A box of the turned picture, on the unrotated page."""
    x0, y0, x1, y1 = turned_back(pixels, turns, size)
    across = (box[2] - box[0] + 2 * MARGIN) / size[0]
    down = (box[3] - box[1] + 2 * MARGIN) / size[1]
    left, top = box[0] - MARGIN, box[1] - MARGIN
    return left + x0 * across, top + y0 * down, left + x1 * across, top + y1 * down


def turned_back(box: Sequence[float], turns: int, size: tuple[float, float]) -> PageBox:
    """A box of a picture after its quarter turns, in the picture of `size` before them."""
    x0, y0, x1, y1 = box
    width, height = size
    if turns == 1:  # what was at the right edge is at the top
        return width - y1, x0, width - y0, x1
    if turns == 2:
        return width - x1, height - y1, width - x0, height - y0
    if turns == 3:
        return y0, height - x1, y1, height - x0
    return x0, y0, x1, y1
