"""Ink of a picture parted into connected marks, for a look at where digits may be."""

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
from PIL import Image

Array = npt.NDArray[Any]

_INK = 165
"""Darker than this is ink."""
_HAZE, _HAZY = 210, 1.4
"""Pixels darker than the first, for each that is ink, in a picture too soft to be parted."""
_PAPER = 200
_RULE = 70
"""A straight run of so many pixels is a rule, not a letter."""
_ROD = 30
"""A thin mark as high as this is a piece of a rule."""
_GRAIN = 3
_MOST_GRAIN = 1.0
_LEAST, _MOST = 7, 100
"""Heights of type in pixels."""
_BLOCK, _FIELD = 8, (6, 1)
"""Dark fields are looked for in blocks of so many pixels: so many of them wide and high."""


@dataclass(frozen=True)
class PictureMarks:
    """What a look at the ink of a picture tells."""

    tones: npt.NDArray[np.uint8]
    boxes: Array
    """x0, y0, x1, y1 of marks that may be type, one row each."""
    rules: Array
    """Pixels of straight rules."""
    fields: tuple[tuple[int, int, int, int], ...]
    """Dark fields, on which there may be light print."""
    empty: bool
    """No mark at all that is larger than a grain."""


def marks_in(grey: Image.Image) -> PictureMarks | None:
    """The marks of a grey picture with dark print on light paper.

    None where tones or grain make it doubtful what is a mark.
    """
    tones = np.frombuffer(grey.tobytes(), dtype=np.uint8).reshape(grey.height, grey.width)
    counts = np.cumsum(grey.histogram())
    if counts[_PAPER] * 2 > counts[-1] or counts[_HAZE] > _HAZY * counts[_INK]:
        return None
    ink = tones < _INK
    rules = _straight(ink) | _straight(np.ascontiguousarray(ink.T)).T
    boxes, _ = _parted(ink & ~rules)
    wide, high = boxes[:, 2] - boxes[:, 0], boxes[:, 3] - boxes[:, 1]
    rods = (high >= _ROD) & (wide <= np.maximum(_GRAIN, high // 10))
    for x0, y0, x1, y1 in boxes[rods].tolist():
        rules[y0:y1, x0:x1] = True
    is_type = (high >= _LEAST) & (high <= _MOST) & (wide <= 14 * high) & ~rods
    grain = int(((high <= _GRAIN) & (wide <= _GRAIN)).sum())
    if grain > _MOST_GRAIN * int(is_type.sum()) + 80:
        return None
    empty = int((np.maximum(wide, high) > _GRAIN).sum()) < 4 and not rules.any()
    return PictureMarks(tones, boxes[is_type], rules, _dark_fields(grey), empty)


def _dark_fields(grey: Image.Image) -> tuple[tuple[int, int, int, int], ...]:
    """Boxes around blocks that are nearly all ink; a little larger than the fields."""
    small = grey.reduce(_BLOCK)
    solid = np.frombuffer(small.tobytes(), dtype=np.uint8).reshape(small.height, small.width)
    boxes, _ = _parted(solid < _INK // 2)
    return tuple(
        (max(0, (x0 - 1) * _BLOCK), max(0, (y0 - 1) * _BLOCK),
         min(grey.width, (x1 + 1) * _BLOCK), min(grey.height, (y1 + 1) * _BLOCK))
        for x0, y0, x1, y1 in boxes.tolist()
        if x1 - x0 >= _FIELD[0] and y1 - y0 >= _FIELD[1]
    )  # fmt: skip


def _strokes(ink: Array) -> tuple[Array, Array, Array]:
    """Row, first and last column of each run of ink."""
    framed = np.zeros((ink.shape[0], ink.shape[1] + 2), dtype=np.bool_)
    framed[:, 1:-1] = ink
    steps = np.flatnonzero(framed[:, 1:] != framed[:, :-1])
    row, column = np.divmod(steps, ink.shape[1] + 1)
    return row[0::2], column[0::2], column[1::2] - 1


def _straight(ink: Array) -> Array:
    """The pixels of runs along the rows that are too long for letters."""
    found = np.zeros(ink.shape, dtype=np.bool_)
    row, start, end = _strokes(ink)
    long = end - start >= _RULE
    lines = zip(row[long].tolist(), start[long].tolist(), end[long].tolist(), strict=True)
    for y, x0, x1 in lines:
        found[y, x0 : x1 + 1] = True
    return found


def _parted(ink: Array) -> tuple[Array, Array]:
    """Boxes of connected marks, and how many pixels of each are ink."""
    row, start, end = _strokes(ink)
    count = len(row)
    if not count:
        return np.zeros((0, 4), dtype=np.int64), np.zeros(0, dtype=np.int64)
    width = ink.shape[1] + 2
    low = np.searchsorted(row * width + end, (row + 1) * width + start - 1, side="left")
    high = np.searchsorted(row * width + start, (row + 1) * width + end + 1, side="right")
    meets = np.maximum(high - low, 0)
    one = np.repeat(np.arange(count), meets)
    other = np.arange(int(meets.sum())) - np.repeat(np.cumsum(meets) - meets - low, meets)
    name = np.arange(count)
    while len(one):
        # Of two marks that meet, the later gets the name of the earlier; names are then followed.
        names = np.sort(np.stack((name[one], name[other])), axis=0)
        differ = names[0] != names[1]
        one, other, names = one[differ], other[differ], names[:, differ]
        np.minimum.at(name, names[1], names[0])
        while not np.array_equal(name, name[name]):
            name = name[name]
    first = name == np.arange(count)
    mark = (np.cumsum(first) - 1)[name]
    total = int(first.sum())
    order = np.argsort(mark, kind="stable")
    at = np.searchsorted(mark[order], np.arange(total))
    sides = (
        np.minimum.reduceat(start[order], at), np.minimum.reduceat(row[order], at),
        np.maximum.reduceat(end[order], at) + 1, np.maximum.reduceat(row[order], at) + 1,
    )  # fmt: skip
    return np.stack(sides, axis=1), np.bincount(mark, weights=end - start + 1, minlength=total)
