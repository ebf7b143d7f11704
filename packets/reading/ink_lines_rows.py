"""Marks put in rows, and where in the rows digits may stand.

Nothing is read here. What is surely a word in small letters is told by its
shape: in it marks of two heights stand on one foot, or hang from one top.
Figures have one height, and so have capitals.
"""

from dataclasses import dataclass

import numpy as np

from packets.reading.ink_lines_marks import Flags, Ints, Marks

Box = tuple[float, float, float, float]

_BAND = 8
"""Rows are looked for in bands of so many pixels."""
_BANDS = 2
_GAP = 2.6
"""Marks of one row stand no farther apart than this, in heights of the larger."""
_ALIKE = 2.0
"""Neighbours in a row differ in height by no more than this."""
_TOGETHER = 0.65
"""Neighbours share so much of the height of the lower one; the ticks between boxes do not."""
_NEIGHBOURS = 4
"""So many marks to either side say whether a mark is a small letter."""
_TALLER = 0.2
"""How much taller a capital is than a small letter, at least, in heights of the small one."""
_BROAD = 0.45
"""Width of a letter that hangs below the others, at least, in its heights."""
_LEVEL = 0.13
"""How far feet or tops of marks may differ that stand level, in heights."""
WORD_GAP = 0.42
"""Gap in heights from which on another word begins."""
_DIGIT = 0.62
"""Width of a digit in heights, roughly; marks that touch are counted by their width."""


@dataclass(frozen=True)
class Rows:
    """Marks from left to right, row after row."""

    marks: Marks
    row: Ints
    """Number of the row of each mark."""
    gap: Flags
    """Whether a word begins at a mark."""
    small: Flags
    """Whether a mark is a small letter, by the marks around it."""
    low: Flags
    """Whether a mark is lower than the words to either side of its own."""
    digits: Ints
    """How many digits a mark may hold, by its width."""

    def box(self, first: int, last: int) -> Box:
        """Around the marks `first` to `last`."""
        m, part = self.marks, slice(first, last + 1)
        return (
            float(m.x0[part].min()), float(m.y0[part].min()),
            float(m.x1[part].max()), float(m.y1[part].max()),
        )  # fmt: skip


def rows_of(marks: Marks) -> Rows:
    """The rows of marks that have the size of type."""
    order, row = _in_rows(marks, _following(marks))
    placed = marks.only(order)
    high = placed.y1 - placed.y0
    new_row = np.concatenate(([True], row[1:] != row[:-1])) if len(row) else np.zeros(0, np.bool_)
    gap = new_row.copy()
    between = placed.x0[1:] - placed.x1[:-1]
    gap[1:] |= between > WORD_GAP * np.minimum(high[1:], high[:-1])
    wide = placed.x1 - placed.x0
    digits = np.maximum(1, np.rint(wide / (_DIGIT * np.maximum(high, 1))).astype(np.int64))
    digits[wide <= 0.95 * high] = 1
    word = np.cumsum(gap)
    small, low = _small_letters(placed, word), _low_on_its_row(placed, word)
    return Rows(placed, row, gap, small, low, digits)


def _following(marks: Marks) -> Ints:
    """For each mark the next one on its row, or -1."""
    count = len(marks)
    high = marks.y1 - marks.y0
    band = (marks.y0 + marks.y1) // (2 * _BAND)
    span = int(marks.x1.max(initial=0)) + 1_000
    key = (band + _BANDS) * span + marks.x0
    order = np.argsort(key, kind="stable")
    keys = key[order]
    best = np.full(count, -1, dtype=np.int64)
    nearest = np.full(count, np.iinfo(np.int64).max)
    for shift in range(-_BANDS, _BANDS + 1):
        at = np.searchsorted(keys, key + shift * span, side="right")
        for step in range(3):
            place = np.minimum(at + step, count - 1)
            other = order[place]
            fits = (at + step < count) & _follows(marks, high, other)
            closer = fits & (marks.x0[other] < nearest)
            best[closer] = other[closer]
            nearest[closer] = marks.x0[other][closer]
    return best


def _follows(marks: Marks, high: Ints, other: Ints) -> Flags:
    """Whether `other` may be the next mark on the row, for each mark."""
    low, large = np.minimum(high, high[other]), np.maximum(high, high[other])
    both = np.minimum(marks.y1, marks.y1[other]) - np.maximum(marks.y0, marks.y0[other])
    gap = marks.x0[other] - marks.x1
    behind = (marks.x0[other] > marks.x0) & (gap < _GAP * large) & (gap > -0.6 * low)
    return behind & (both > _TOGETHER * low) & (large <= _ALIKE * low)


def _in_rows(marks: Marks, following: Ints) -> tuple[Ints, Ints]:
    """Marks in the order of their rows, and the number of the row of each.

    Where two marks claim the same next one, the nearer has it.
    """
    count = len(marks)
    before: dict[int, int] = {}
    ends = marks.x1.tolist()
    for here, after in enumerate(following.tolist()):
        if after >= 0 and (after not in before or ends[here] > ends[before[after]]):
            before[after] = here
    after_of = {here: after for after, here in before.items()}
    order: list[int] = []
    rows: list[int] = []
    number = 0
    for start in range(count):
        if start in before:
            continue
        at: int | None = start
        while at is not None:
            order.append(at)
            rows.append(number)
            at = after_of.get(at)
        number += 1
    return np.array(order, dtype=np.int64), np.array(rows, dtype=np.int64)


def _small_letters(marks: Marks, word: Ints) -> Flags:
    """Marks lower than a neighbour in their word on the same foot, or with a descender beside.

    In a long word one odd neighbour says nothing: a speck may sit on a digit.
    """
    count = len(marks)
    high = marks.y1 - marks.y0
    says = np.zeros(count, dtype=np.int64)
    odd = np.zeros(count, dtype=np.bool_)
    for step in range(1, min(_NEIGHBOURS, count - 1) + 1):
        behind, ahead = slice(step, None), slice(None, -step)
        for here, there in ((behind, ahead), (ahead, behind)):
            same = (word[here] == word[there]) & (high[there] <= 2 * high[here])
            low = _is_small(marks, high, here, there) & same
            hanging = _is_small(marks, high, there, here, feet=False) & same
            says[here] += low | hanging
            odd[there] |= low
            odd[here] |= hanging
    words = int(word[-1]) + 1 if count else 0
    lengths = np.bincount(word, minlength=words)[word]
    givers = np.bincount(word, weights=odd, minlength=words)[word]
    small: Flags = says >= np.where((lengths >= 8) & (givers < 2), 2, 1)
    return small


def _is_small(marks: Marks, high: Ints, here: slice, there: slice, *, feet: bool = True) -> Flags:
    """Whether marks are lower than others on the same foot, or have one that hangs lower beside."""
    level = _LEVEL * high[here] + 1.0
    top = np.abs(marks.y0[here] - marks.y0[there]) <= level
    broad = (marks.x1 - marks.x0)[there] >= _BROAD * high[there]  # no parenthesis
    hangs: Flags = top & broad & (marks.y1[there] - marks.y1[here] >= _TALLER * high[here])
    if not feet:
        return hangs
    foot = np.abs(marks.y1[here] - marks.y1[there]) <= level
    low: Flags = foot & (marks.y0[here] - marks.y0[there] >= _TALLER * high[here])
    return hangs | low


def _low_on_its_row(marks: Marks, word: Ints) -> Flags:
    """Marks that are lower than what stands to their left and to their right on one foot.

    The words next to them are meant: a number behind a larger label is not low.
    """
    count = len(marks)
    high = marks.y1 - marks.y0
    sides = np.zeros((2, count), dtype=np.int64)
    for step in range(1, min(2 * _NEIGHBOURS + 2, count - 1) + 1):
        behind, ahead = slice(step, None), slice(None, -step)
        for side, (here, there) in enumerate(((behind, ahead), (ahead, behind))):
            near = np.abs(marks.x0[here] - marks.x0[there]) <= 12 * high[here]
            other = (word[here] != word[there]) & (high[there] <= 2 * high[here])
            foot = np.abs(marks.y1[here] - marks.y1[there]) <= _LEVEL * high[here] + 1.0
            lower = marks.y0[here] - marks.y0[there] >= _TALLER * high[here]
            sides[side, here] += near & other & foot & lower
    low: Flags = (sides >= 1).all(axis=0) & (sides.sum(axis=0) >= 3)
    return low
