"""OCR words as glyph runs, so that the same finder reads pages and pictures."""

import re
from collections.abc import Sequence
from itertools import pairwise

from packets.identifiers.layout import GlyphRun
from packets.reading.records import PictureText
from packets.reading.slant import off_slant

_LOOK_ALIKES = str.maketrans("OoQDIl|!SsBZzG", "0000111155822" + "6")
"""Letters that OCR takes for digits, used only inside words that are mostly digits."""


_GROUPS = re.compile(r"[0-9OoQDIl|!SBZ]{3}-(?:[0-9OoQDIl|!SBZ]{1,2}(?:-[0-9OoQDIl|!SBZ]{0,4})?)?")
"""The beginning of three, two and four digits, or all of it."""


def picture_runs(text: PictureText) -> tuple[GlyphRun, ...]:
    """One run per word, in pixels of the levelled picture; glyphs are numbered in word order."""
    runs = []
    first = 0
    size = text.width, text.height
    for word in text.words:
        symbols = [(symbol[0], *off_slant(symbol[1:], size, text.skew)) for symbol in word.symbols]
        runs.append(
            GlyphRun(
                _digits_where_likely(word.text),
                [symbol[1] for symbol in symbols],
                _without_gaps(symbols),
                min(symbol[2] for symbol in symbols),
                max(symbol[4] for symbol in symbols),
                first,
            )
        )
        first += len(symbols)
    return tuple(runs)


def _without_gaps(symbols: Sequence[tuple[str, float, float, float, float]]) -> list[float]:
    """Where each character ends: at the next one, for within a word there is no space.

    The engine's boxes are as narrow as the ink; around a 1 they leave room.
    """
    ends = [symbol[3] for symbol in symbols]
    height = max(1.0, *(symbol[4] - symbol[2] for symbol in symbols))
    for at, (here, following) in enumerate(pairwise(symbols)):
        if following[1] - here[3] < height:
            ends[at] = max(here[1], following[1])
    return ends


def _digits_where_likely(word: str) -> str:
    digits = sum(char.isdigit() for char in word)
    if digits and _GROUPS.fullmatch(word):
        return word.translate(_LOOK_ALIKES)
    if digits < 3 or digits * 2 < sum(char.isalnum() for char in word):
        return word
    return word.translate(_LOOK_ALIKES)
