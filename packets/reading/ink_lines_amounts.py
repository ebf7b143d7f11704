"""Amounts told by the places of their commas and points alone, so that they need not be read."""

from collections.abc import Sequence
from itertools import pairwise
from statistics import median

import numpy as np

from packets.reading.ink_lines_marks import Marks
from packets.reading.ink_lines_spots import Spot

_FEWEST, _MOST = 4, 8
"""Digits of an amount; nine are never left unread."""
_LOW = 0.5
"""A comma or a point begins below this share of the digits' height, from the top."""
_DEEPEST = 0.45
"""How far below the digits' feet it may end, in heights."""
_RAISED = 0.12
"""It reaches down to the digits' feet, but for so much: a dash does not."""
_LOWEST = 0.55
"""A comma or a point is no higher than this, in heights of a digit."""
_WIDEST = 1.0
"""Two digits of one group stand closer than this, in heights."""


def is_amount(spot: Spot, points: Marks) -> bool:
    """Whether marks stand in groups as 1,234.56 or 123,456 do.

    The last point has two marks behind it, and each comma three; nothing else
    stands between the marks.
    """
    marks = spot.marks
    if not _FEWEST <= len(marks) <= _MOST or any(b[0] < a[2] - 1 for a, b in pairwise(marks)):
        return False
    high = median(box[3] - box[1] for box in marks)
    if any(box[2] - box[0] > 0.95 * high for box in marks):
        return False  # several digits that touch
    groups, last = [1], ""
    for before, mark in pairwise(marks):
        between = _between(before, mark, high, points)
        if between is None or (not between and mark[0] - before[2] > _WIDEST * high):
            return False
        if between:
            groups.append(1)
            last = between
        else:
            groups[-1] += 1
    return len(groups) > 1 and _grouped(groups, last)


def _grouped(groups: Sequence[int], last: str) -> bool:
    """Thousands by threes, and two digits behind a last point."""
    *inner, end = groups
    cents = end == 2 and last == "."
    thousands = groups if not cents else inner
    if not cents and last != ",":
        return False
    first, *others = thousands
    return set(others) <= {3} and (first <= 3 or (cents and not others))


def _between(
    one: Sequence[float], other: Sequence[float], high: float, points: Marks
) -> str | None:
    """`.` or `,` for what stands between two digits, nothing for nothing, None for all else."""
    middle = (points.x0 + points.x1) / 2
    inside = (middle > one[2] - 1) & (middle < other[0] + 1)
    level = (points.y1 > one[1]) & (points.y0 < one[3] + _DEEPEST * high)
    found = np.flatnonzero(inside & level)
    if not len(found):
        return ""
    if len(found) > 1:
        return None
    at = int(found[0])
    top, foot = int(points.y0[at]), int(points.y1[at])
    low = top > one[1] + _LOW * high and foot - top <= _LOWEST * high
    if not low or not one[3] - _RAISED * high <= foot <= one[3] + _DEEPEST * high:
        return None
    return "," if foot > one[3] + 0.1 * high else "."
