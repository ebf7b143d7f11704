"""Ink that no word accounts for: rows of marks of the size of type.

Works on a small copy of the levelled page: words are painted out, long rules
are dropped, and what is left is parted into connected marks by runs of pixels.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from statistics import median

from PIL import Image, ImageDraw

from packets.reading.records import OcrWord

Box = tuple[float, float, float, float]

_SIDE = 1000
"""Longest side in pixels of the small copy: some 90 dpi of a letter page."""
_INK = 180
"""Ink is darker than this; the paper was evened to white before."""
_RUN = re.compile(b"\xff+")
_LEAST_MARKS = 4
"""So many marks in a row may be a part of a number."""
_MOST_MARKS = 6000
"""With more marks than this a picture is no page of print."""


@dataclass(frozen=True)
class UnreadRow:
    """A row of marks."""

    box: Box
    """In pixels of the levelled page."""
    even: bool
    """Most marks are as high as the highest: digits are, words in small letters are not."""


def unread_rows(flat: Image.Image, words: Sequence[OcrWord]) -> tuple[UnreadRow, ...]:
    """Rows of marks that no word covers."""
    scale = min(1.0, _SIDE / max(flat.size))
    size = (max(1, round(flat.width * scale)), max(1, round(flat.height * scale)))
    small = flat.resize(size, Image.Resampling.BOX)
    ink = small.point([255 if value < _INK else 0 for value in range(256)])
    height = _type_height(words) * scale
    _paint_out(ink, words, scale)
    ink = _without_rules(_without_rules(ink, height).transpose(_ON_SIDE), height)
    marks = [box for box in _marks(ink.transpose(_ON_SIDE)) if _is_type(box, height)]
    if len(marks) > _MOST_MARKS:
        return ()
    return tuple(
        UnreadRow((x0 / scale, y0 / scale, x1 / scale, y1 / scale), even)
        for (x0, y0, x1, y1), even in _rows(marks, height)
    )


_ON_SIDE = Image.Transpose.TRANSPOSE


def _type_height(words: Sequence[OcrWord]) -> float:
    heights = [max(s[4] for s in w.symbols) - min(s[2] for s in w.symbols) for w in words]
    return median(heights) if heights else 26.0


def _paint_out(ink: Image.Image, words: Sequence[OcrWord], scale: float) -> None:
    draw = ImageDraw.Draw(ink)
    for word in words:
        box = (
            min(s[1] for s in word.symbols) * scale - 1,
            min(s[2] for s in word.symbols) * scale - 1,
            max(s[3] for s in word.symbols) * scale + 1,
            max(s[4] for s in word.symbols) * scale + 1,
        )
        draw.rectangle(box, fill=0)


def _runs(ink: Image.Image) -> Iterator[tuple[int, int, int]]:
    """Row, start and end of every run of ink."""
    data, width = ink.tobytes(), ink.width
    for row in range(ink.height):
        line = data[row * width : (row + 1) * width]
        for run in _RUN.finditer(line):
            yield row, run.start(), run.end()


def _without_rules(ink: Image.Image, height: float) -> Image.Image:
    """Without runs along a row that are longer than any letter is wide."""
    draw = ImageDraw.Draw(ink)
    for row, start, end in list(_runs(ink)):
        if end - start > 2.2 * height:
            draw.line((start, row, end - 1, row), fill=0)
    return ink


def _marks(ink: Image.Image) -> Iterable[Box]:
    """Boxes around connected ink."""
    boxes: list[list[int]] = []
    parent: list[int] = []

    def root(at: int) -> int:
        while parent[at] != at:
            parent[at] = parent[parent[at]]
            at = parent[at]
        return at

    above: list[tuple[int, int, int]] = []
    here: list[tuple[int, int, int]] = []
    last = -1
    for row, start, end in _runs(ink):
        if row != last:
            above, here, last = (here if row == last + 1 else []), [], row
        mine = -1
        for low, high, other in above:
            if low <= end and high >= start:
                found = root(other)
                if mine < 0:
                    mine = found
                elif found != mine:
                    _join(boxes[mine], boxes[found])
                    parent[found] = mine
        if mine < 0:
            mine = len(boxes)
            boxes.append([start, row, end, row + 1])
            parent.append(mine)
        else:
            _join(boxes[mine], [start, row, end, row + 1])
        here.append((start, end, mine))
    return [(b[0], b[1], b[2], b[3]) for at, b in enumerate(boxes) if parent[at] == at]


def _join(one: list[int], other: Sequence[int]) -> None:
    one[:] = [
        min(one[0], other[0]), min(one[1], other[1]),
        max(one[2], other[2]), max(one[3], other[3]),
    ]  # fmt: skip


def _is_type(box: Box, height: float) -> bool:
    wide, high = box[2] - box[0], box[3] - box[1]
    return max(4.0, 0.45 * height) <= high <= 2.2 * height and wide <= 3 * height


def _rows(marks: Sequence[Box], height: float) -> Iterator[tuple[Box, bool]]:
    """Marks that follow one another on a line."""
    rows: list[list[Box]] = []
    for mark in sorted(marks):
        middle = (mark[1] + mark[3]) / 2
        for row in rows:
            last = row[-1]
            if mark[0] - last[2] <= 1.8 * height and last[1] <= middle <= last[3]:
                row.append(mark)
                break
        else:
            rows.append([mark])
    for row in rows:
        x0, x1 = row[0][0], max(mark[2] for mark in row)
        high = max(m[3] for m in row) - min(m[1] for m in row)
        if len(row) >= _LEAST_MARKS or x1 - x0 >= _LEAST_MARKS * 0.6 * high:
            box = x0, min(m[1] for m in row), x1, max(m[3] for m in row)
            yield box, _is_even(row)


def _is_even(row: Sequence[Box]) -> bool:
    heights = [mark[3] - mark[1] for mark in row]
    usual = sorted(heights)[-1 - len(heights) // 4]
    return sum(abs(high - usual) <= max(1.0, 0.13 * usual) for high in heights) >= 0.6 * len(row)
