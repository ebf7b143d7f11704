"""Rows of marks that lie aslant: a slip laid askew on the glass, figures written across a page.

Knows boxes alone. Every mark is led to its nearest neighbour of like size; what hangs
together in a straight line is a row, and rows that lie near one another at one angle
are one piece of print.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Boxes = NDArray[np.int64]
"""x0, y0, x1, y1 of marks in pixels, y downward, one row each."""

_STRIP, _AHEAD = 48, 12
"""Neighbours are looked for in strips of so many pixels, so many marks ahead."""
_NEAR, _ALIKE = 1.8, 1.4
"""Distance of neighbours in sizes of a mark, and how much larger one may be."""
_AS_NEAR = 1.4
_LEAST_IN_ROW, _MOST_IN_ROW = 3, 60
_STRAIGHT = 0.17
"""Sizes by which the marks of a row may stray from its line."""
LEAST_SLANT = 7.0
"""Degrees from level, or upright, from which on a row lies aslant."""
_SAME_SLANT = 4.5
_TOGETHER = 9.0
"""Sizes within which rows belong together."""
_ENOUGH = 7
"""Marks of a piece of print: with fewer it holds no number."""
_LEVEL_AMONG = 0.7
"""Marks in level rows, for each of a piece of slanting print that they stand among."""
_MOST_MARKS = 20_000


@dataclass(frozen=True)
class SlantingPrint:
    """One piece of print that lies aslant."""

    box: tuple[float, float, float, float]
    degrees: float
    """By how much its rows fall to the right, between -45 and 45; it may stand upright there."""
    size: float
    """Of its marks, in pixels."""


@dataclass(frozen=True)
class _Row:
    x: float
    y: float
    degrees: float
    size: float
    marks: int
    box: tuple[float, float, float, float]


def slanting_print(
    boxes: Boxes, level: float = 0.0, least: float = LEAST_SLANT
) -> tuple[SlantingPrint, ...]:
    """Print among marks of the size of type that is `least` degrees and more off `level`."""
    if not _ENOUGH <= len(boxes) <= _MOST_MARKS:
        return ()
    rows = list(_rows(boxes))
    slanting = [row for row in rows if abs(_apart(row.degrees, level)) >= least]
    others = [row for row in rows if abs(_apart(row.degrees, level)) < least]
    return tuple(_pieces(slanting, others))


def _apart(one: float, other: float) -> float:
    """The angle between two directions, a quarter turn counting as none: -45 to 45."""
    return (one - other + 45.0) % 90.0 - 45.0


def _rows(boxes: Boxes) -> Iterator[_Row]:
    """Every straight chain of marks; its line is the main axis of the spread of its middles."""
    middle = (boxes[:, :2] + boxes[:, 2:]) / 2.0
    size = np.maximum(boxes[:, 2] - boxes[:, 0], boxes[:, 3] - boxes[:, 1]).astype(np.float64)
    order, starts, counts = _chains(_neighbours(middle, size))
    if not len(starts):
        return
    chain = np.repeat(np.arange(len(starts)), counts)
    centre = np.add.reduceat(middle[order], starts) / counts[:, None]
    x, y = (middle[order] - centre[chain]).T
    xx, yy, xy = (np.add.reduceat(part, starts) / counts for part in (x * x, y * y, x * y))
    large = np.add.reduceat(size[order], starts) / counts
    apart = np.hypot(xx - yy, 2 * xy)
    stray = np.sqrt(np.maximum(xx + yy - apart, 0.0) / 2)
    degrees = np.degrees(np.arctan2(2 * xy, xx - yy) / 2)
    low = np.minimum.reduceat(boxes[order, :2], starts)
    high = np.maximum.reduceat(boxes[order, 2:], starts)
    for k in np.flatnonzero(stray <= _STRAIGHT * large):
        yield _Row(
            float(centre[k, 0]), float(centre[k, 1]), float(degrees[k]), float(large[k]),
            int(counts[k]), (*map(float, low[k]), *map(float, high[k])),  # type: ignore[arg-type]
        )  # fmt: skip


def _neighbours(
    middle: NDArray[np.float64], size: NDArray[np.float64]
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """For each mark the two nearest of like size, or itself where none is near.

    The second counts where it is about as near: letters of one row follow one
    another more closely than rows do.
    """
    count = len(middle)
    nearest = np.tile(np.arange(count), (2, 1))
    distance = np.full((2, count), np.inf)
    for along, across in ((0, 1), (1, 0)):
        for phase in (0.0, _STRIP / 2):
            strip = np.floor((middle[:, across] + phase) / _STRIP)
            order = np.lexsort((middle[:, along], strip))
            for ahead in range(1, min(_AHEAD, count - 1) + 1):
                one, other = order[:-ahead], order[ahead:]
                away = np.hypot(*(middle[one] - middle[other]).T)
                large = np.maximum(size[one], size[other])
                alike = large <= _ALIKE * np.minimum(size[one], size[other])
                fits = alike & (away <= _NEAR * large)
                for here, there in ((one, other), (other, one)):
                    _note(nearest, distance, here[fits], there[fits], away[fits])
    second = np.where(distance[1] <= _AS_NEAR * distance[0], nearest[1], np.arange(count))
    return nearest[0], second


def _note(
    nearest: NDArray[np.int64],
    distance: NDArray[np.float64],
    here: NDArray[np.int64],
    there: NDArray[np.int64],
    away: NDArray[np.float64],
) -> None:
    """Keep what is nearer than the two that were found; each mark stands in `here` once."""
    closest = (away < distance[0][here]) & (there != nearest[0][here])
    near, far, by = here[closest], there[closest], away[closest]
    nearest[1][near], distance[1][near] = nearest[0][near], distance[0][near]
    nearest[0][near], distance[0][near] = far, by
    rest = ~closest & (away < distance[1][here]) & (there != nearest[0][here])
    nearest[1][here[rest]], distance[1][here[rest]] = there[rest], away[rest]


def _chains(
    linked: tuple[NDArray[np.int64], NDArray[np.int64]],
) -> tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.int64]]:
    """Marks that are led to one another, from three to a line of them.

    Gives the numbers of the marks chain by chain, and where each chain starts and its length.
    """
    root = np.arange(len(linked[0]))
    while True:
        lower = root.copy()
        for nearest in linked:
            np.minimum(lower, root[nearest], out=lower)
            np.minimum.at(lower, nearest, root)
        lower = lower[lower]
        if np.array_equal(lower, root):
            break
        root = lower
    counts = np.bincount(root, minlength=len(root))[root]
    chosen = np.flatnonzero((counts >= _LEAST_IN_ROW) & (counts <= _MOST_IN_ROW))
    order = chosen[np.argsort(root[chosen], kind="stable")]
    starts = np.flatnonzero(np.diff(root[order], prepend=-1))
    return order, starts, np.diff(starts, append=len(order))


def _pieces(rows: list[_Row], others: list[_Row]) -> Iterator[SlantingPrint]:
    """Rows at one angle that lie near one another, where together they may hold a number.

    Among level print some words stand as if aslant, by the letters that they have.
    """
    left = sorted(rows, key=lambda row: -row.marks)
    while left:
        piece = [left.pop(0)]
        for row in piece:
            near = [other for other in left if _belongs(row, other)]
            piece += near
            left = [other for other in left if other not in near]
        marks = sum(row.marks for row in piece)
        x0, y0, x1, y1 = zip(*(row.box for row in piece), strict=True)
        box = min(x0), min(y0), max(x1), max(y1)
        level = sum(row.marks for row in others if _lies_in(row, box))
        if marks >= _ENOUGH and level <= _LEVEL_AMONG * marks:
            yield SlantingPrint(
                box,
                _apart(piece[0].degrees, 0.0),
                max(row.size for row in piece),
            )


def _lies_in(row: _Row, box: tuple[float, float, float, float]) -> bool:
    return box[0] <= row.x <= box[2] and box[1] <= row.y <= box[3]


def _belongs(one: _Row, other: _Row) -> bool:
    reach = _TOGETHER * max(one.size, other.size)
    apart = max(one.box[0] - other.box[2], other.box[0] - one.box[2],
                one.box[1] - other.box[3], other.box[1] - one.box[3])  # fmt: skip
    alike = max(one.size, other.size) <= 2 * min(one.size, other.size)
    return alike and apart <= reach and abs(_apart(one.degrees, other.degrees)) <= _SAME_SLANT
