"""Where the characters of a word really stand: the engine's boxes brought to columns of ink.

The engine knows the order of characters better than their places; a digit
painted over at a wrong place stays legible beside it.
"""

import re

from PIL import Image

from packets.reading.records import OcrWord

_FEWEST_DIGITS = 3
_LEAST_CONTRAST = 40
_INKED = re.compile(b"[^\x00]+")


def fitted(flat: Image.Image, word: OcrWord) -> OcrWord:
    """A word with digits whose characters have the columns of ink in their order.

    As it was where the ink does not part into as many columns as characters.
    """
    if sum(symbol[0].isdigit() for symbol in word.symbols) < _FEWEST_DIGITS:
        return word
    x0, x1 = word.symbols[0][1], word.symbols[-1][3]
    y0, y1 = min(s[2] for s in word.symbols), max(s[4] for s in word.symbols)
    left, top = max(0, int(x0) - 2), max(0, int(y0))
    crop = flat.crop((left, top, min(flat.width, int(x1) + 3), min(flat.height, int(y1) + 1)))
    columns = _columns(crop)
    if len(columns) != len(word.symbols):
        return word
    placed = tuple(
        (symbol[0], float(left + start), symbol[2], float(left + end), symbol[4])
        for symbol, (start, end) in zip(word.symbols, columns, strict=True)
    )
    return OcrWord(placed, word.confidence)


def _columns(crop: Image.Image) -> list[tuple[int, int]]:
    """Spans of neighbouring columns that hold ink."""
    if min(crop.size) < 1:
        return []
    tones = crop.tobytes()
    low, high = min(tones), max(tones)
    if high - low < _LEAST_CONTRAST:
        return []
    limit = (low + high) / 2
    ink = crop.point([255 if value < limit else 0 for value in range(256)])
    profile = ink.resize((crop.width, 1), Image.Resampling.BOX).tobytes()
    return [match.span() for match in _INKED.finditer(profile)]
