"""Spots of a page at which digits may stand, told by the shapes of marks alone.

A spot is left out only where its marks are surely a word in small letters.
Everything else in a row of type that is as wide as four digits is read:
figures, capitals, and what is neither.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from statistics import median

from packets.reading.ink_lines_rows import Box, Rows

_LEAST = 4
"""So many digits in one word make a spot."""
_LEAST_IN_PIECES = 5
"""The same for short words side by side, such as one digit in each box."""
_LEAST_LOW = 7
"""The same for what is lower than the words on both sides: most of it is small letters."""
_EVEN = 0.22
"""Digits side by side differ in height by no more than this share."""
_BEGINNING, _NEAR = 3, 0.6
"""So few marks so near to a spot, in heights, may be a part of its first or last word."""
_ROD, _SOLID = 0.2, 0.8
"""A mark as narrow as this, in heights, and as full of ink may be the rule between two boxes."""
_CELL_GAP = 1.2
"""Gap in heights from which on another cell begins."""
_DIVIDERS, _HIGHER = 0.6, 1.12
"""So many of them for each other mark stand between boxes; one that is higher does so anyway."""


@dataclass(frozen=True)
class Spot:
    """Neighbouring marks of one row."""

    box: Box
    marks: tuple[Box, ...]
    """From left to right."""
    first: int
    """Number of the first mark in the rows; the others follow."""
    apart: bool = False
    """Each mark stands for itself, as digits in boxes do."""
    rods: frozenset[int] = frozenset()
    """Places in `marks` of those that may be rules between boxes."""


@dataclass(frozen=True)
class _Word:
    first: int
    last: int
    digits: int
    """Digits that the longest stretch without small letters may hold."""
    plain: bool
    """No mark is surely a small letter."""
    low: bool
    """Between larger words on both sides."""
    high: float
    box: Box


def digit_spots(rows: Rows) -> tuple[Spot, ...]:
    """Where digits may stand, each stretch of a row once."""
    spots: list[Spot] = []
    for words in _words_by_row(rows):
        wanted = [word.digits >= _LEAST and not word.low for word in words]
        for start, end in _even_stretches(words):
            low = all(word.low for word in words[start:end])
            least = _LEAST_LOW if low else _LEAST_IN_PIECES
            if sum(word.digits for word in words[start:end]) >= least:
                wanted[start:end] = [True] * (end - start)
        _take_neighbours(words, wanted)
        spots.extend(_spots(rows, words, wanted))
    return tuple(spots)


def text_cells(rows: Rows) -> tuple[Spot, ...]:
    """All type of the page in cells: what stands in a row without a wide gap."""
    cells: list[Spot] = []
    for words in _words_by_row(rows):
        start = 0
        for at in range(1, len(words) + 1):
            if at == len(words) or _between(words[at - 1], words[at]) > _CELL_GAP:
                cells.append(spot_of(rows, words[start].first, words[at - 1].last))
                start = at
    return tuple(cells)


def _words_by_row(rows: Rows) -> Iterator[list[_Word]]:
    m = rows.marks
    starts = [at for at, new in enumerate(rows.gap.tolist()) if new]
    small, low, digits = rows.small.tolist(), rows.low.tolist(), rows.digits.tolist()
    x0, y0, x1, y1 = m.x0.tolist(), m.y0.tolist(), m.x1.tolist(), m.y1.tolist()
    number = rows.row.tolist()
    words: list[_Word] = []
    for at, first in enumerate(starts):
        last = (starts[at + 1] if at + 1 < len(starts) else len(m)) - 1
        if words and number[first] != number[words[-1].first]:
            yield words
            words = []
        most = run = 0
        for k in range(first, last + 1):
            run = 0 if small[k] else run + digits[k]
            most = max(most, run)
        part = slice(first, last + 1)
        box = min(x0[part]), min(y0[part]), max(x1[part]), max(y1[part])
        high = median(b - a for a, b in zip(y0[part], y1[part], strict=True))
        plain = not any(small[part])
        words.append(_Word(first, last, most, plain, plain and all(low[part]), high, box))
    if words:
        yield words


def _between(one: _Word, other: _Word) -> float:
    """Gap in heights."""
    return (other.box[0] - one.box[2]) / max(1.0, min(one.high, other.high))


def _gap(one: _Word, other: _Word) -> float:
    """Gap between two words in either order, in heights."""
    return _between(one, other) if one.first < other.first else _between(other, one)


def _even_stretches(words: Sequence[_Word]) -> Iterator[tuple[int, int]]:
    """Words without small letters side by side that are of one height."""
    start = 0
    for at in range(1, len(words) + 1):
        if at < len(words) and words[at].plain and _alike(words[at - 1], words[at]):
            continue
        if words[start].plain and at > start:
            yield start, at
        start = at


def _alike(one: _Word, other: _Word) -> bool:
    return abs(one.high - other.high) <= _EVEN * max(one.high, other.high) + 1.0


def _take_neighbours(words: Sequence[_Word], wanted: list[bool]) -> None:
    """Short groups beside a spot may be the rest of its number."""
    for order in (range(1, len(words)), range(len(words) - 2, -1, -1)):
        step = 1 if order.step > 0 else -1
        for at in order:
            word, before = words[at], words[at - step]
            if not wanted[at - step] or wanted[at]:
                continue
            beginning = word.last - word.first < _BEGINNING and abs(_gap(word, before)) < _NEAR
            if beginning or (word.plain and _alike(word, before)):
                wanted[at] = True


def _spots(rows: Rows, words: Sequence[_Word], wanted: Sequence[bool]) -> Iterator[Spot]:
    start: int | None = None
    for at in range(len(words) + 1):
        if at < len(words) and wanted[at]:
            start = at if start is None else start
        elif start is not None:
            yield spot_of(rows, words[start].first, words[at - 1].last)
            start = None


def spot_of(rows: Rows, first: int, last: int) -> Spot:
    """The marks `first` to `last` of one row."""
    m = rows.marks
    part = slice(first, last + 1)
    marks = tuple(
        zip(
            m.x0[part].tolist(), m.y0[part].tolist(), m.x1[part].tolist(), m.y1[part].tolist(),
            strict=True,
        )
    )  # fmt: skip
    inner = rows.gap[first + 1 : last + 1]
    apart = len(marks) >= _LEAST_IN_PIECES and bool(inner.all())
    wide, high = m.x1[part] - m.x0[part], m.y1[part] - m.y0[part]
    solid = (wide <= _ROD * high) & (m.ink[part] >= _SOLID * wide * high)
    rods = frozenset(at for at, rod in enumerate(solid.tolist()) if rod)
    return Spot(rows.box(first, last), marks, first, apart, rods)


def digits_in_boxes(spot: Spot) -> tuple[Box, ...]:
    """The marks of a spot that stand apart, without the rules between boxes."""
    rods = [at for at, box in enumerate(spot.marks) if at in spot.rods]
    others = [box for at, box in enumerate(spot.marks) if at not in spot.rods]
    if len(rods) >= _DIVIDERS * len(others):
        return tuple(others)
    high = median(box[3] - box[1] for box in spot.marks)
    return tuple(
        box
        for at, box in enumerate(spot.marks)
        if at not in spot.rods or box[3] - box[1] <= _HIGHER * high
    )


def is_empty_row_of_boxes(spot: Spot) -> bool:
    """Whether all that stands there are the rules between boxes."""
    return spot.apart and len(spot.marks) - len(spot.rods) < 2
