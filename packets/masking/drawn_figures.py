"""Figures that character recognition does not know: segments, dots, and the like.

Each shape of a row is compared with digits of standard faces and with the seven
segments of a display. A row counts only when nearly all of it are digits.
"""

from collections.abc import Sequence
from functools import cache

from PIL import Image, ImageDraw

from packets.masking.outlined_shapes import GlyphShape, glyph_shape, standard_shapes
from packets.reading.unexplained_rows import Box

_LEAST = 5
_DIFFERENT = 2
_SHARE = 0.85
"""So much of a row must be told."""
_LIKE = 48
"""Of 192 points so many may differ."""
_STROKE = 0.3
"""A shape narrower than this, against its height, and full, is a one."""
_FULL = 150
_SEGMENTS = {
    "0": "abcdef", "1": "bc", "2": "abged", "3": "abgcd", "4": "fgbc", "5": "afgcd",
    "6": "afgedc", "7": "abc", "8": "abcdefg", "9": "abcdfg",
}  # fmt: skip
_LINES = {
    "a": (0, 0, 1, 0), "b": (1, 0, 1, 1), "c": (1, 1, 1, 2), "d": (0, 2, 1, 2),
    "e": (0, 1, 0, 2), "f": (0, 0, 0, 1), "g": (0, 1, 1, 1),
}  # fmt: skip
UNTOLD = "?"


def read_figures(picture: Image.Image, boxes: Sequence[Box]) -> str:
    """One character for each box of an upright picture; `?` for what is no figure."""
    return "".join(_digit(glyph_shape(picture, box)) for box in boxes)


def are_figures(told: str, share: float = _SHARE) -> bool:
    """Whether so much of a row was told that it is one of figures."""
    if len(set(told)) < _DIFFERENT:
        return False  # bars, cells or dots
    return len(told) >= _LEAST and len(told) - told.count(UNTOLD) >= share * len(told)


def _digit(shape: GlyphShape | None) -> str:
    if shape is None:
        return UNTOLD
    if shape.proportion < _STROKE:
        return "1" if shape.bits.bit_count() >= _FULL else UNTOLD
    nearest = min(
        (shape.distance(own), digit)
        for digit in "0123456789"
        for own in (*standard_shapes()[digit], *_segment_shapes()[digit])
    )
    return nearest[1] if nearest[0] <= _LIKE else UNTOLD


@cache
def _segment_shapes() -> dict[str, tuple[GlyphShape, ...]]:
    """Displays with thin and with thick segments, narrow and wide."""
    shapes: dict[str, list[GlyphShape]] = {digit: [] for digit in _SEGMENTS}
    for width, thickness in ((40, 8), (40, 14), (60, 10), (60, 16), (34, 5)):
        for digit, segments in _SEGMENTS.items():
            picture = Image.new("L", (120, 160), 255)
            draw = ImageDraw.Draw(picture)
            for segment in segments:
                x0, y0, x1, y1 = _LINES[segment]
                ends = (20 + width * x0, 20 + 50 * y0, 20 + width * x1, 20 + 50 * y1)
                draw.line(ends, fill=0, width=thickness)
            shape = glyph_shape(picture, (0, 0, 119, 159))
            if shape is not None:
                shapes[digit].append(shape)
    return {digit: tuple(found) for digit, found in shapes.items()}
