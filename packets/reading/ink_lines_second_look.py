"""A second look at single places of a page: larger, cleaner, and with digits only.

The words of a place are replaced where the second reading is the better one.
What still may be a number, and is none that the finder sees, is a doubt: the
page is held for it.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Protocol

from PIL import Image

from packets.reading.ink_lines_engine import Engine
from packets.reading.ink_lines_leftover import unread_rows
from packets.reading.ink_lines_places import (
    Box,
    Place,
    digit_places,
    is_near,
    label_boxes,
    looks_like_a_number,
    open_digits,
    reading_of,
)
from packets.reading.picture_cleaning import despeckled
from packets.reading.records import OcrWord

_TYPE = 44.0
"""Height in pixels to which the print of a place is brought."""
_MOST_PLACES = 60
_BETTER = 4.0
_SURE = 70.0
_BAD = 40.0
_CLEAR = 88.0
_ONE_PLACE = 2.5
"""Gap in heights up to which two places are read as one."""
_SAME = 0.4
"""Words that share so much of the smaller one's area are one word."""
_SOMETHING = 6
"""Letters and digits in all readings of a place together: fewer are no print."""
DOUBT = "digits that may be a number and cannot be read"
DOUBT_BY_LABEL = "print beside a label of a number that cannot be read"
DOUBT_MANY = "more print than can be looked at twice"


@dataclass(frozen=True)
class Looked:
    """The words after the second look, levelled, and what stays doubtful."""

    words: tuple[OcrWord, ...]
    doubts: tuple[str, ...]


class Levelled(Protocol):
    """A page that is levelled when somebody looks at it."""

    @property
    def turned(self) -> Image.Image:
        """The page upright, before levelling; of the same size."""

    @property
    def flat(self) -> Image.Image:
        """The levelled page."""


def look_again(
    engine: Engine, page: Levelled, words: tuple[OcrWord, ...], unread: Sequence[Place]
) -> Looked:
    """Read again what the first reading left open, and `unread` places."""
    size = page.turned.size
    first = reading_of(words, size)
    labels = tuple(label_boxes(first))
    known = [Place(place.box, is_near(place.box, labels)) for place in unread]
    places = _joined_places([*digit_places(first), *known])
    if not places:
        return Looked(words, ())
    doubts = [DOUBT_MANY] if len(places) > _MOST_PLACES else []
    kept = list(words)
    readings: list[tuple[Place, str]] = []
    for place in places[:_MOST_PLACES]:
        best, texts = _read_place(engine, page.flat, place)
        _put(kept, best, place.box)
        readings.append((place, "\n".join(texts)))
    second = reading_of(kept, size)
    doubts.extend(_doubts(readings, second.settled, kept, still=open_digits(second)))
    return Looked(tuple(kept), tuple(dict.fromkeys(doubts)))


def _joined_places(places: Sequence[Place]) -> list[Place]:
    """Places that follow one another on a line as one: the boxes of a form, words and gaps."""
    joined: list[Place] = []
    for place in sorted(places, key=lambda p: p.box):
        x0, y0, x1, y1 = place.box
        for at, other in enumerate(joined):
            a0, b0, a1, b1 = other.box
            high = min(y1 - y0, b1 - b0)
            if min(y1, b1) - max(y0, b0) > 0.5 * high and x0 - a1 < _ONE_PLACE * high:
                box = min(x0, a0), min(y0, b0), max(x1, a1), max(y1, b1)
                joined[at] = Place(box, place.by_label or other.by_label)
                break
        else:
            joined.append(place)
    return joined


def unread_places(flat: Image.Image, words: Sequence[OcrWord], *, clean: bool) -> tuple[Place, ...]:
    """Rows of ink without words, or with words that were hardly read.

    On a `clean` page only where its marks are as even as digits are, or a label
    asks for a number.
    """
    labels = tuple(label_boxes(reading_of(words, flat.size)))
    sure = [word for word in words if word.confidence >= _BAD]
    return tuple(
        Place(row.box)
        for row in unread_rows(flat, sure)
        if row.even or not clean or is_near(row.box, labels)
    )


def _read_place(
    engine: Engine, flat: Image.Image, place: Place
) -> tuple[tuple[OcrWord, ...], list[str]]:
    """The best reading of a place, and what every reading said."""
    x0, y0, x1, y1 = place.box
    high = max(y1 - y0, 6.0)
    left, top = max(0, int(x0 - high)), max(0, int(y0 - 0.45 * high))
    right, bottom = min(flat.width, int(x1 + high) + 1), min(flat.height, int(y1 + 0.45 * high) + 1)
    crop = flat.crop((left, top, right, bottom))
    scale = min(4.0, max(0.5, _TYPE / high))
    best: tuple[OcrWord, ...] = ()
    texts = []
    for picture in (crop, despeckled(crop)):
        words = _moved(engine.line(picture, scale), left, top)
        texts.append(_joined(words))
        if _mean(words) > _mean(best) + (_BETTER if best else 0):
            best = words
        if _mean(best) >= _CLEAR or (_mean(best) >= _BAD and _has_few_digits(texts[-1])):
            return best, texts
    if place.by_label or _mean(best) < _BAD:
        texts.append(_joined(engine.line(crop, scale, digits=True)))
    return best, texts


def _has_few_digits(text: str) -> bool:
    """Whether a reading is so much of letters that digits alone cannot be meant."""
    return sum(char.isalpha() for char in text) > 3 * sum(char.isdigit() for char in text) + 3


def _joined(words: Iterable[OcrWord]) -> str:
    return " ".join(word.text for word in words)


def _mean(words: Sequence[OcrWord]) -> float:
    count = sum(len(word.symbols) for word in words)
    return sum(len(w.symbols) * w.confidence for w in words) / count if count else 0.0


def _moved(words: Iterable[OcrWord], left: int, top: int) -> tuple[OcrWord, ...]:
    return tuple(
        OcrWord(
            tuple((c, x0 + left, y0 + top, x1 + left, y1 + top) for c, x0, y0, x1, y1 in w.symbols),
            w.confidence,
        )
        for w in words
    )


def _put(words: list[OcrWord], found: Sequence[OcrWord], box: Box) -> None:
    """Replace the words in a place, unless they were read more surely and show as many digits.

    What the edges of the place cut through stays as it was.
    """
    new = [word for word in found if _is_inside(word, box)]
    old = [word for word in words if _is_inside(word, box)]
    if not new or (_digits(new) <= _digits(old) and _mean(new) < _mean(old)):
        return
    cut = [word for word in words if word not in old]
    for word in old:
        words.remove(word)
    words.extend(w for w in new if all(_shared(_around(c), _around(w)) < _SAME for c in cut))


def _is_inside(word: OcrWord, box: Box) -> bool:
    """Whether a word lies in a place, but for the margin that was read around it."""
    x0, y0, x1, y1 = _around(word)
    high = box[3] - box[1]
    return (
        box[0] - 0.8 * high <= x0
        and x1 <= box[2] + 0.8 * high
        and box[1] - 0.4 * high <= (y0 + y1) / 2 <= box[3] + 0.4 * high
    )


def _digits(words: Sequence[OcrWord]) -> int:
    return sum(char.isdigit() for word in words for char in word.text)


def _around(word: OcrWord) -> Box:
    symbols = word.symbols
    return (
        min(s[1] for s in symbols), min(s[2] for s in symbols),
        max(s[3] for s in symbols), max(s[4] for s in symbols),
    )  # fmt: skip


def _shared(one: Box, other: Box) -> float:
    """The part of the smaller box that both share."""
    wide = min(one[2], other[2]) - max(one[0], other[0])
    high = min(one[3], other[3]) - max(one[1], other[1])
    if wide <= 0 or high <= 0:
        return 0.0
    areas = ((b[2] - b[0]) * (b[3] - b[1]) for b in (one, other))
    return wide * high / max(min(areas), 1.0)


def _doubts(
    readings: Sequence[tuple[Place, str]],
    settled: frozenset[int],
    words: Sequence[OcrWord],
    *,
    still: bool,
) -> Iterator[str]:
    """What no reading cleared up."""
    if still:
        yield DOUBT
    masked = list(_settled_boxes(words, settled))
    for place, text in readings:
        if is_near(place.box, masked):
            continue
        here = [word for word in words if _shared(_around(word), place.box) > 0.3]
        if _mean(here) >= _SURE:
            continue
        if looks_like_a_number(text):
            yield DOUBT
        elif place.by_label and sum(map(str.isalnum, text)) >= _SOMETHING:
            yield DOUBT_BY_LABEL


def _settled_boxes(words: Sequence[OcrWord], settled: frozenset[int]) -> Iterator[Box]:
    first = 0
    for word in words:
        if any(first + k in settled for k in range(len(word.symbols))):
            yield _around(word)
        first += len(word.symbols)
