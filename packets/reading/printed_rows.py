"""Strings of a page brought together into the lines that a person sees."""

from collections.abc import Iterator, Sequence
from itertools import groupby

from packets.base.geometry import Box
from packets.reading.drawn_strings import DrawnStrings
from packets.reading.records import TextLine

Word = tuple[tuple[float, ...], str]
"""A box and the text in it, a word or several; points, origin upper left."""

_ALIKE = 3.0
"""Words on one line differ in height by no more than this."""
ALIKE_IN_OCR = 2.2
"""The same for OCR, which gives each word the height of its own ink: a large title is not
run together with the two lines of small print beside it."""


def pieces_of(strings: DrawnStrings) -> Iterator[Word]:
    """What was drawn on one line at one height in one piece: fewer to sort than words are."""
    if strings.plain:
        for x0, y0, x1, y1, text in strings.rows:
            shown = " ".join(text.split())
            if len(shown) == len(text):
                yield (x0, y0, x1, y1), text
            elif shown:
                # What the spaces around it take of the box is told by their share.
                step = (x1 - x0) / len(text)
                left, right = text.index(shown[0]), len(text) - len(text.rstrip())
                yield (x0 + left * step, y0, x1 - right * step, y1), shown
        return
    # Where a line runs upward, or holds large and small type, its words tell more.
    found = ((word[:4], word[4], word[5:7]) for word in strings.read.extractWORDS())
    for _, same in groupby(found, key=lambda word: (word[0][1], word[0][3], word[2])):
        yield from _joined([(box, text) for box, text, _ in same])


def _joined(words: Sequence[Word]) -> Iterator[Word]:
    """Words at one height as one, where they follow one another to the right."""
    x0 = [box[0] for box, _ in words]
    if len(words) > 1 and x0 == sorted(x0):
        (_, top, _, bottom), _ = words[0]
        right = max(box[2] for box, _ in words)
        yield (x0[0], top, right, bottom), " ".join(text for _, text in words)
    else:
        yield from words


def grouped(words: Sequence[Word], alike: float = _ALIKE) -> tuple[TextLine, ...]:
    """Words whose middles share a height are one line; lines come top to bottom."""
    rows: list[list[Word]] = []
    last: tuple[float, ...] | None = None
    for word in sorted(words, key=lambda word: (word[0][1] + word[0][3], word[0][0])):
        box = word[0]
        middle = (box[1] + box[3]) / 2
        if last is not None and last[1] <= middle <= last[3] and _alike(last, box, alike):
            rows[-1].append(word)
        else:
            rows.append([word])
        last = box
    return tuple(_line(row) for row in rows)


def _alike(one: tuple[float, ...], other: tuple[float, ...], most: float) -> bool:
    height, beside = max(one[3] - one[1], 0.1), max(other[3] - other[1], 0.1)
    return height <= most * beside and beside <= most * height


def _line(row: list[Word]) -> TextLine:
    if len(row) == 1:
        (x0, y0, x1, y1), text = row[0]
        return TextLine(text, Box(x0, y0, x1, y1), y1 - y0)
    row.sort(key=lambda word: word[0][0])
    boxes = [box for box, _ in row]
    box = Box(
        boxes[0][0],
        min(b[1] for b in boxes),
        max(b[2] for b in boxes),
        max(b[3] for b in boxes),
    )
    size = max(b[3] - b[1] for b in boxes)
    return TextLine(" ".join(text for _, text in row), box, size)
