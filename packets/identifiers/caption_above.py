"""The label that stands above a number on a page, by where both stand.

A caption speaks of what stands below it in its box, and of the whole column
when it heads a table. Printed words between the two end its reach: they are
the caption of the next box. No caption is looked for *below* a number: on
official forms the value of one box stands right above the caption of the next,
so that amounts would pass for accounts.
"""

from bisect import bisect_left, bisect_right, insort
from collections.abc import Iterator, Sequence
from itertools import zip_longest

from packets.identifiers.glyph_lines import PageLine
from packets.identifiers.labels import Label
from packets.identifiers.shapes import digit_indexes

_REACH = 2.6
"""How far below its label a number may stand, in heights of the larger of the two."""
_FARTHEST = 60.0
"""The same in points, where that is more."""
_MOST_LINES = 40
"""How many lines up a label is looked for."""
_TIGHT = 0.6
"""Lines of one caption stand no farther apart than this, in heights."""
_BEYOND = 12.0
"""How far right of its caption's end a number may start in the same box, in heights."""
_OUTDENT = 1.5
"""How far left of its caption a number may start, in heights."""
_ROW = 1.6
"""How far apart the rows of one column may stand, in heights."""

_ALIGNED = 0.3
"""Edges of one column lie no farther apart than this, in heights."""


def reach_above(height: float) -> float:
    """How far above a line of this height its captions stand at most; points."""
    return max(_FARTHEST, _REACH * height)


class CaptionsAbove:
    """Answers for every line of one page, from top to bottom."""

    def __init__(self, lines: Sequence[PageLine]) -> None:
        self._lines = lines
        self._boxes: dict[int, list[tuple[float, float, float, Label]]] = {}
        self._words: dict[int, list[tuple[float, float]]] = {}
        self._columns: dict[tuple[int, str], list[tuple[float, int, Label]]] = {}
        """For each line, the left and the right ends of runs that a label above spoke of."""

    def of(self, at: int, start: int, end: int) -> Label | None:
        """The label above a span of line `at`, if one speaks of it."""
        line = self._lines[at]
        left, right = line.read.x0[start], line.read.x1[end - 1]
        height = max(line.bottom - line.top, 0.01)
        found: tuple[float, Label] | None = None
        block: float | None = None  # top of the caption that the walk upward has met
        for number in range(at - 1, max(-1, at - 1 - _MOST_LINES), -1):
            other = self._lines[number]
            distance = max(line.top - other.bottom, 0.0)
            if distance > reach_above(height):
                break
            tall = max(other.bottom - other.top, 0.01)
            if distance > _REACH * max(height, tall) or other.bottom > line.bottom:
                continue
            if block is not None and block - other.bottom > _TIGHT * tall:
                break
            over = self._over(number, left, right, height)
            if over is None and distance <= _ROW * height and found is None:
                over = self._same_column(number, left, right, height)
            if over is not None and (found is None or distance + over[0] < found[0]):
                found = (distance + over[0], over[1])
            if self._has_words_over(number, left, right):
                block = other.top
        if found is None:
            return None
        for side, edge in (("left", left), ("right", right)):
            column = self._columns.setdefault((at, side), [])
            insort(column, (edge, len(column), found[1]))
        return found[1]

    def _over(
        self, number: int, left: float, right: float, height: float
    ) -> tuple[float, Label] | None:
        """The open label of a line that stands over a span, with how far it is off."""
        boxes = self._boxes.get(number)
        if boxes is None:
            boxes = self._boxes[number] = list(_boxes(self._lines[number]))
        best: tuple[float, Label] | None = None
        first = bisect_right(boxes, left + _OUTDENT * height, key=lambda box: box[0]) - 1
        for low, caption_end, box_end, label in boxes[max(first, 0) :]:
            if low > max(right, left + _OUTDENT * height):
                break
            reach = min(box_end, caption_end + _BEYOND * height)
            score = 0.05 * abs(left - low)
            if left <= max(caption_end, reach) and (best is None or score < best[0]):
                best = (score, label)
        return best

    def _has_words_over(self, number: int, left: float, right: float) -> bool:
        """Whether printed words of a line stand over a span."""
        words = self._words.get(number)
        if words is None:
            words = self._words[number] = list(_words(self._lines[number]))
        last = bisect_right(words, right, key=lambda word: word[0]) - 1
        return last >= 0 and words[last][1] >= left

    def _same_column(
        self, number: int, left: float, right: float, height: float
    ) -> tuple[float, Label] | None:
        """The label over a run on the line above that starts or ends where this span does."""
        for side, edge in (("left", left), ("right", right)):
            column = self._columns.get((number, side), [])
            at = bisect_left(column, edge - _ALIGNED * height, key=lambda entry: entry[0])
            if at < len(column) and column[at][0] <= edge + _ALIGNED * height:
                return height, column[at][2]
        return None


def _boxes(line: PageLine) -> Iterator[tuple[float, float, float, Label]]:
    """Open labels of a line: left of their box, end of their caption, end of their box, label.

    A box reaches from the start of the caption, that is, from the start of its
    cell or from what stands before it there, to the next label or cell.
    """
    read, cells, at, done = line.read, line.cells, 0, 0
    labels = line.labelled.labels
    still_open = set(line.labelled.open_labels)
    for label, after in zip_longest(labels, labels[1:]):
        while at + 1 < len(cells) and cells[at + 1][0] <= label.start:
            at += 1
        low = max(cells[at][0], done)
        done = label.end
        if label not in still_open:
            continue
        ends = [cells[at + 1][0]] if at + 1 < len(cells) else []
        ends += [after.start] if after is not None else []
        box_end = read.x0[min(ends)] - 0.5 if ends else float("inf")
        low = min(_behind_numbers(line, low, label.start), label.start)
        yield read.x0[low], read.x1[label.end - 1], box_end, label


def _behind_numbers(line: PageLine, low: int, start: int) -> int:
    """Where a caption begins that has a number or a mask before it in its cell."""
    spans = line.labelled.masks.spans
    before = bisect_right(spans, (start, 0)) - 1
    if before >= 0:
        low = max(low, spans[before][1])
    digits = digit_indexes(line.read.text, low, start)
    return digits[-1] + 1 if digits else low


def _words(line: PageLine) -> Iterator[tuple[float, float]]:
    """Left and right end of every cell of a line that shows words."""
    text = line.labelled.masks.blanked()
    for low, high in line.cells:
        if any(map(str.isalpha, text[low:high])):
            yield line.read.x0[low], line.read.x1[high - 1]
