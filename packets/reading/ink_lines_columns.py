"""Where the characters of a word really stand: the engine's boxes brought to columns of ink.

The engine knows the order of characters better than their places; a digit
painted over at a wrong place stays legible beside it.
"""

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median

from PIL import Image

from packets.reading.picture_cleaning import despeckled
from packets.reading.records import OcrWord, Symbol

_FEWEST_DIGITS = 3
_LEAST_CONTRAST = 40
_TALL = 0.62
"""A digit is at least so high against the highest column; a dash or a point is not."""
_OF_FIGURES = frozenset("0123456789-OoIlSBZ")
_WITHIN_FIGURES = 0.36
"""Gap in heights up to which figures stand in one piece."""
_LOW_MARKS, _LOW = "-.,_~\u2013\u2014", 0.5
_BROAD = 0.8
"""A digit is no broader than this, in heights: wider columns are digits that touch."""
_LIMITS = (0.5, 0.65, 0.35, 0.78, 0.88)
"""Where between the darkest and the lightest tone ink begins: the first that fits is taken."""
_UNEVEN = 0.3
"""How far the steps from digit to digit may differ from the usual one, as a share of it."""
_INKED = re.compile(b"[\x10-\xff]+")
"""Columns of which a sixteenth is ink: a speck is not."""


@dataclass(frozen=True)
class _Column:
    start: int
    end: int
    high: int


Cut = Callable[[tuple[int, int, int, int]], Image.Image]
"""Gives the part of a level page in a box, white beyond its edges."""


def fitted(cut: Cut, word: OcrWord) -> OcrWord:
    """A word with digits whose characters have the columns of ink in their order.

    As it was where the ink does not part into as many columns as characters.
    """
    return (_fitted(cut, word) if has_digits(word) else None) or word


def joined_figures(words: Sequence[OcrWord]) -> tuple[OcrWord, ...]:
    """Words that follow one another, with those of figures made one that a 1 seems to part.

    A 1 has room around it; a space is wider than that.
    """
    joined: list[OcrWord] = []
    for word in words:
        if joined and _goes_on(joined[-1], word):
            before = joined.pop()
            symbols = (*before.symbols, *word.symbols)
            word = OcrWord(symbols, min(before.confidence, word.confidence))  # noqa: PLW2901
        joined.append(word)
    return tuple(joined)


def _goes_on(one: OcrWord, other: OcrWord) -> bool:
    last, first = one.symbols[-1], other.symbols[0]
    if not (last[0] in _OF_FIGURES and first[0] in _OF_FIGURES):
        return False
    if not any(symbol[0].isdigit() for symbol in (*one.symbols, *other.symbols)):
        return False
    high = max(last[4] - last[2], first[4] - first[2])
    level = min(last[4], first[4]) - max(last[2], first[2]) > 0
    return level and -0.5 * high < first[1] - last[3] < _WITHIN_FIGURES * high


def is_placed(cut: Cut, word: OcrWord) -> bool:
    """Whether the ink parts into the characters of a word."""
    return _fitted(cut, word) is not None


def has_digits(word: OcrWord) -> bool:
    """Whether a word holds so many digits that it may be a part of a number."""
    return sum(symbol[0].isdigit() for symbol in word.symbols) >= _FEWEST_DIGITS


def _fitted(cut: Cut, word: OcrWord) -> OcrWord | None:
    x0, x1 = word.symbols[0][1], word.symbols[-1][3]
    y0, y1 = min(s[2] for s in word.symbols), max(s[4] for s in word.symbols)
    left, top = int(x0) - 2, int(y0)
    crop = cut((left, top, int(x1) + 3, int(y1) + 1))
    for picture, limit in _trials(crop):
        spans = _spans(_columns(picture, limit), word.symbols)
        if spans is not None and _is_even(spans, word.symbols):
            placed = tuple(
                (symbol[0], float(left + start), symbol[2], float(left + end), symbol[4])
                for symbol, (start, end) in zip(word.symbols, spans, strict=True)
            )
            return OcrWord(placed, word.confidence)
    return None


def _trials(crop: Image.Image) -> Iterator[tuple[Image.Image, float]]:
    """The cut-out with each limit of tone, then without its specks."""
    for limit in _LIMITS:
        yield crop, limit
    for limit in _LIMITS if min(crop.size) > 2 else ():
        yield despeckled(crop), limit


def _spans(columns: Sequence[_Column], symbols: Sequence[Symbol]) -> list[tuple[int, int]] | None:
    """Left and right of each character: one column each, or tall ones and marks by themselves."""
    tallest = max((column.high for column in columns), default=0)
    if len(columns) == len(symbols):
        fit = all(_may_be(symbol[0], column, tallest)
                  for symbol, column in zip(symbols, columns, strict=True))  # fmt: skip
        return [(column.start, column.end) for column in columns] if fit else None
    tall = [column for column in columns if column.high >= _TALL * tallest]
    letters = [at for at, symbol in enumerate(symbols) if symbol[0].isalnum()]
    parted = _parted(tall, len(letters))
    if parted is None or not letters:
        return None
    spans: list[tuple[int, int]] = []
    for at in range(len(symbols)):
        if at in letters:
            spans.append(parted[letters.index(at)])
            continue
        before = [k for k, letter in enumerate(letters) if letter < at]
        start = parted[before[-1]][1] if before else 0
        after = before[-1] + 1 if before else 0
        spans.append((start, parted[after][0] if after < len(parted) else start + 1))
    return spans


def _may_be(char: str, column: _Column, tallest: int) -> bool:
    """Whether a column has the height of a character: digits are tall, dashes and points low."""
    if char.isdigit():
        return column.high >= _TALL * tallest
    return char not in _LOW_MARKS or column.high <= _LOW * tallest


def _is_even(spans: Sequence[tuple[int, int]], symbols: Sequence[Symbol]) -> bool:
    """Whether the middles of neighbouring digits lie as far apart as in print: evenly.

    Else a column is half of a digit, or two of them.
    """
    steps = [
        (after[0] + after[1] - before[0] - before[1]) / 2
        for (before, one), (after, other) in pairwise(zip(spans, symbols, strict=True))
        if one[0].isdigit() and other[0].isdigit()
    ]
    usual = median(steps) if steps else 0.0
    return all(abs(step - usual) <= _UNEVEN * usual for step in steps)


def _parted(tall: Sequence[_Column], wanted: int) -> list[tuple[int, int]] | None:
    """So many spans: the columns, those shared evenly that hold several that touch."""
    if len(tall) > wanted or not tall:
        return None
    usual = median(column.end - column.start for column in tall)
    single = min(usual, _BROAD * max(column.high for column in tall))
    counts = [max(1, round((column.end - column.start) / max(single, 1.0))) for column in tall]
    if sum(counts) != wanted:
        return None
    spans = []
    for column, count in zip(tall, counts, strict=True):
        share = (column.end - column.start) / count
        spans += [
            (round(column.start + k * share), round(column.start + (k + 1) * share))
            for k in range(count)
        ]
    return spans


def _columns(crop: Image.Image, limit: float) -> list[_Column]:
    """Spans of neighbouring columns that hold ink, and how high their ink reaches."""
    if min(crop.size) < 1:
        return []
    tones = crop.tobytes()
    low, high = min(tones), max(tones)
    if high - low < _LEAST_CONTRAST:
        return []
    darker = low + (high - low) * limit
    ink = crop.point([255 if value < darker else 0 for value in range(256)])
    profile = ink.resize((crop.width, 1), Image.Resampling.BOX).tobytes()
    found = []
    for match in _INKED.finditer(profile):
        box = ink.crop((match.start(), 0, match.end(), ink.height)).getbbox()
        if box is not None:
            found.append(_Column(*match.span(), box[3] - box[1]))
    return found
