"""Where in a picture digits may stand, by the shape of each mark; and what stands near."""

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from packets.outbound.digit_shapes import digit_likeness
from packets.outbound.picture_marks import PictureMarks

Box = tuple[int, int, int, int]

_WINDOW = 5
"""Fewer than five digits cannot be a number that must not go out."""
_LIKELY = 0.68
"""Mean likeness of so many neighbouring marks from which on they are read."""
_PERHAPS = 0.5
"""What a mark counts that is so wide that it may be several digits."""
_NEIGHBOUR = 0.5
"""Likeness of a mark beside such a stretch from which on it belongs to it."""
_WIDE = 1.2
_DIGIT = 0.62
"""Width of a digit in heights."""
_GAP = 2.8
"""Marks of one row stand no farther apart than this, in heights."""
_BAND = 8
_CELL = 1.3
_WORD = 0.4


@dataclass(frozen=True)
class Row:
    """Marks from left to right, and how much each looks like a digit."""

    marks: tuple[Box, ...]
    likeness: tuple[float, ...]

    def box(self, first: int, last: int) -> Box:
        """Around the marks `first` to `last`."""
        part = self.marks[first : last + 1]
        return (
            part[0][0], min(b[1] for b in part), max(b[2] for b in part), max(b[3] for b in part),
        )  # fmt: skip

    def gap(self, at: int) -> float:
        """The gap before mark `at`, in heights."""
        before, mark = self.marks[at - 1], self.marks[at]
        high = max(1, min(before[3] - before[1], mark[3] - mark[1]))
        return (mark[0] - before[2]) / high


def rows_of(marks: PictureMarks) -> tuple[Row, ...]:
    """The type of a picture in rows."""
    boxes: list[Box] = [(x0, y0, x1, y1) for x0, y0, x1, y1 in marks.boxes.tolist()]
    likeness = digit_likeness(marks.tones, marks.boxes).tolist()
    order = sorted(range(len(boxes)), key=lambda k: boxes[k][0])
    rows: list[list[int]] = []
    last_in: dict[int, int] = {}
    """By band of heights: the row that went through it last."""
    for k in order:
        band = (boxes[k][1] + boxes[k][3]) // (2 * _BAND)
        near = {last_in[b] for b in range(band - 2, band + 3) if b in last_in}
        fitting = [at for at in near if _goes_on(boxes[rows[at][-1]], boxes[k])]
        if fitting:
            at = max(fitting, key=lambda at: boxes[rows[at][-1]][2])
            rows[at].append(k)
        else:
            at = len(rows)
            rows.append([k])
        last_in[band] = at
    return tuple(
        Row(tuple(boxes[k] for k in row), tuple(_counted(boxes[k], likeness[k]) for k in row))
        for row in rows
    )


def _goes_on(last: Sequence[int], mark: Sequence[int]) -> bool:
    high, other = last[3] - last[1], mark[3] - mark[1]
    both = min(last[3], mark[3]) - max(last[1], mark[1])
    alike = max(high, other) <= 2.2 * min(high, other)
    return alike and both > 0.55 * min(high, other) and mark[0] - last[2] < _GAP * max(high, other)


def _counted(box: Box, likeness: float) -> float:
    return max(likeness, _PERHAPS) if _is_wide(box) else likeness


def spots_in(row: Row) -> Iterator[tuple[int, int]]:
    """First and last mark of each stretch of a row, in whole words, that may be a number."""
    count = len(row.marks)
    held = [_digits_held(box) for box in row.marks]
    sums = [0.0]
    for value in row.likeness:
        sums.append(sums[-1] + value)
    start = end = -1
    for first in range(count):
        size = _window(held, first)
        if first + size > count or sums[first + size] - sums[first] < _LIKELY * size:
            continue
        if start >= 0 and first <= end + 1:
            end = first + size - 1
            continue
        if start >= 0:
            yield _whole_words(row, start, end, likely=_NEIGHBOUR)
        start, end = first, first + size - 1
    if start >= 0:
        yield _whole_words(row, start, end, likely=_NEIGHBOUR)


def _window(held: Sequence[int], first: int) -> int:
    """How many marks from `first` on may hold five digits."""
    digits = 0
    for size, count in enumerate(held[first : first + _WINDOW], start=1):
        digits += count
        if digits >= _WINDOW:
            return size
    return _WINDOW


def _digits_held(box: Box) -> int:
    """How many digits a mark may be: wide ones are several that touch."""
    high = max(1, box[3] - box[1])
    return max(1, round((box[2] - box[0]) / (_DIGIT * high))) if _is_wide(box) else 1


def _is_wide(box: Box) -> bool:
    return box[2] - box[0] > _WIDE * (box[3] - box[1])


def _whole_words(row: Row, first: int, last: int, *, likely: float = 2.0) -> tuple[int, int]:
    """A stretch with the rest of its words, and with neighbours that are `likely` digits."""
    while first and (row.gap(first) < _WORD or row.likeness[first - 1] >= likely):
        first -= 1
    while last + 1 < len(row.marks) and (
        row.gap(last + 1) < _WORD or row.likeness[last + 1] >= likely
    ):
        last += 1
    return first, last


def cells_of(row: Row) -> Iterator[tuple[int, int]]:
    """First and last mark of each stretch without a wide gap."""
    start = 0
    for at in range(1, len(row.marks) + 1):
        if at == len(row.marks) or row.gap(at) > _CELL:
            yield start, at - 1
            start = at


def words_over(row: Row, left: float, right: float) -> tuple[int, int] | None:
    """First and last mark of the words of a row that stand between two columns."""
    starts = [box[0] for box in row.marks]
    first, last = bisect_left(starts, left), bisect_left(starts, right) - 1
    if last < first:
        return None
    return _whole_words(row, first, last)
