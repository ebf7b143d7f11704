"""Words in a picture that may be a number and were not read surely, beside a label that names one.

A receipt or a photograph holds many words that OCR is unsure of; they count
only where a label speaks of a number. A blank field behind its label is none.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import regex

from packets.identifiers.kinds import ALL_KINDS, NINE_DIGIT_KINDS, Kind, MaskPolicy
from packets.identifiers.labels import labels_in
from packets.identifiers.layout import find_on_page
from packets.reading.ocr_glyphs import picture_runs
from packets.reading.records import OcrWord, PictureText

_SURE = 60.0
_BELOW = 2.6
"""How far below its label a number may stand, in heights of the label."""
_LOOKS_LIKE_DIGITS = frozenset("0123456789OoQDIl|!SsBZzGg?")
_MASKED = regex.compile(r"^[Xx*\u2022#]{2,}")
_AMOUNT = regex.compile(r"^[$(]?[0-9,]+[.][0-9]{2}[)]?$|^[0-9]{1,2}[/.-][0-9]{1,2}[/.-][0-9]{2,4}$")


@dataclass(frozen=True)
class _Word:
    word: OcrWord
    box: tuple[float, float, float, float]
    found: bool
    """Whether it is part of a number that the finder sees, and that is masked."""


def unsure_kinds(text: PictureText) -> tuple[Kind, ...]:
    """For each number that a label announces and that was not read surely: its kind."""
    rows = _rows(text)
    return tuple(
        kind
        for at, row in enumerate(rows)
        for kind, left, right, after in _labels(row)
        if _is_unsure(kind, _spoken_of(rows, at, left, right, after))
    )


def _rows(text: PictureText) -> list[list[_Word]]:
    """Words that share a height, from left to right."""
    policy = MaskPolicy(kinds=ALL_KINDS)
    found = {
        glyph
        for match in find_on_page(picture_runs(text), (), policy)
        for digit in match.digits
        for glyph in digit
    }
    rows: list[list[_Word]] = []
    first = 0
    words = []
    for word in text.words:
        numbers = range(first, first + len(word.symbols))
        first += len(word.symbols)
        words.append(_Word(word, _box(word), any(number in found for number in numbers)))
    for item in sorted(words, key=lambda w: (w.box[1] + w.box[3], w.box[0])):
        middle = (item.box[1] + item.box[3]) / 2
        if rows and rows[-1][-1].box[1] <= middle <= rows[-1][-1].box[3]:
            rows[-1].append(item)
        else:
            rows.append([item])
    return [sorted(row, key=lambda w: w.box[0]) for row in rows]


def _box(word: OcrWord) -> tuple[float, float, float, float]:
    sides = list(zip(*(symbol[1:] for symbol in word.symbols), strict=True))
    return min(sides[0]), min(sides[1]), max(sides[2]), max(sides[3])


def _labels(row: Sequence[_Word]) -> Iterator[tuple[Kind, float, float, int]]:
    """Kind, left and right side of each label, and the place of the word behind it."""
    starts, text = [], ""
    for item in row:
        starts.append(len(text))
        text += item.word.text + " "
    for label in labels_in(text):
        if label.kind is not None:
            inside = [
                k
                for k, start in enumerate(starts)
                if start < label.end and start + len(row[k].word.text) > label.start
            ]
            yield label.kind, row[inside[0]].box[0], row[inside[-1]].box[2], inside[-1] + 1


def _spoken_of(
    rows: Sequence[Sequence[_Word]], at: int, left: float, right: float, after: int
) -> list[_Word]:
    """The words a label may speak of: behind it on its row, or below it within its width."""
    row = rows[at]
    height = max(item.box[3] - item.box[1] for item in row[max(after - 1, 0) : after] or row)
    bottom = row[max(after - 1, 0)].box[3]
    behind = [item for item in row[after:] if item.box[0] - right < 12 * height]
    numeric = [item for item in behind if _digit_like(item)]
    if numeric:
        return numeric
    return [
        item
        for other in rows[at + 1 :]
        for item in other
        if item.box[1] - bottom < _BELOW * height
        and item.box[0] < right + height
        and item.box[2] > left - height
        and _digit_like(item)
    ]


def _digit_like(item: _Word) -> bool:
    """Whether a word may be a run of figures: not a mask, not an amount, mostly like digits."""
    text = item.word.text
    if _MASKED.match(text) or _AMOUNT.match(text):
        return False
    marks = [char for char in text if char.isalnum() or char in "|!?"]
    like = sum(char in _LOOKS_LIKE_DIGITS for char in marks)
    return any(char.isdigit() for char in text) and len(marks) >= 2 and like * 3 >= 2 * len(marks)


def _is_unsure(kind: Kind, words: Sequence[_Word]) -> bool:
    if not words or any(item.found for item in words):
        return False
    digits = sum(char in _LOOKS_LIKE_DIGITS for item in words for char in item.word.text)
    unsure = any(item.word.confidence < _SURE for item in words)
    if kind in NINE_DIGIT_KINDS:
        return 7 <= digits <= 11 or (unsure and digits >= 4)
    return unsure and digits >= 4
