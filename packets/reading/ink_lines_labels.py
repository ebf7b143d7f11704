"""Which words around a spot decide what it is: the places where labels of a number stand."""

from collections.abc import Iterable, Sequence

import regex

from packets.reading.ink_lines_places import is_something_else
from packets.reading.ink_lines_rows import Box
from packets.reading.ink_lines_spots import Spot
from packets.reading.records import OcrWord

TRUSTED = 80.0
"""Mean confidence over the characters from which on a reading is believed."""
_UNSURE = 72.0
"""A spot below this confidence is looked at with its labels."""
_HARDLY = 40.0
"""Below this confidence the reading says nothing of what stands there."""
_CLOSE = 14.0
_LEFT, _RIGHT = 36.0, 3.0
"""How far left and right on its row words may speak of a number, in heights."""
_ABOVE, _BEFORE, _AFTER = 3.0, 14.0, 12.0
"""How far above, and how far beyond its ends, a caption may stand, in heights."""
_YEAR = regex.compile(r"[(]?(?:19|20)[0-9]{2}[-),.;:]?")
_SURELY_NINE = regex.compile(r"(?<![0-9] ?)[0-9]{3}-[0-9] ?[0-9]-[0-9]{4}(?! ?[0-9])")
_LIKE_DIGITS = regex.compile(r"[0-9OoQDIl|!SsBZzGgbq]")


def label_regions(spot: Spot, words: Sequence[OcrWord]) -> tuple[tuple[Box, ...], tuple[Box, ...]]:
    """Where on its row, and where above it, the words stand that decide what a spot is.

    Nowhere for amounts, dates and plain words.

    So few as four digits are a number only right behind their label.
    """
    x0, y0, x1, y1 = spot.box
    high = y1 - y0
    row = ((x0 - _LEFT * high, y0, x1 + _RIGHT * high, y1),)
    above = ((x0 - _BEFORE * high, y0 - _ABOVE * high, x1 + _AFTER * high, y0),)
    text = " ".join(word.text for word in words)
    if is_unsure(words):
        return row, above
    text = _SURELY_NINE.sub(" ", text) if mean_confidence(words) >= TRUSTED else text
    parts = [part for part in text.split() if not is_something_else(part)]
    counts = [sum(map(str.isdigit, part)) for part in parts]
    if max(counts, default=0) >= 5 or sum(count for count in counts if count <= 4) >= 7:
        return row, above
    if any(count >= 3 and not _YEAR.fullmatch(p) for p, count in zip(parts, counts, strict=True)):
        return ((x0 - _CLOSE * high, y0, x1, y1),), ()
    return (), ()


def is_unsure(words: Sequence[OcrWord]) -> bool:
    """Whether a spot may hold digits that were not read surely."""
    sure = mean_confidence(words)
    if sure >= _UNSURE:
        return False
    text = "".join(word.text for word in words)
    return sure < _HARDLY or 2 * len(_LIKE_DIGITS.findall(text)) >= len(text)


def mean_confidence(words: Iterable[OcrWord]) -> float:
    """Over the characters, 0 to 100; 0 where there are none."""
    count, total = 0, 0.0
    for word in words:
        count += len(word.symbols)
        total += len(word.symbols) * word.confidence
    return total / count if count else 0.0
