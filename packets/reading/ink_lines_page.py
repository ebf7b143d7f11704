"""A scanned page from pixels to words: even, level and upright first, then read once.

Where only numbers are wanted, a clean page is read only where digits may stand.
Else it is read once at a moderate size; a picture that reads poorly is read
again, larger and without specks, and the surer of both readings stands.
"""

from dataclasses import dataclass, replace
from functools import cached_property

from PIL import Image

from packets.reading.ink_lines_columns import fitted, has_digits, is_placed
from packets.reading.ink_lines_engine import Engine
from packets.reading.ink_lines_places import Box, is_near, words_of_numbers
from packets.reading.ink_lines_second_look import look_again, unread_places
from packets.reading.ink_lines_sheet import sheet_of
from packets.reading.ink_lines_swift import read_swiftly
from packets.reading.picture_cleaning import (
    Slant,
    despeckled,
    has_dark_parts,
    level_part,
    levelled,
    slant_of,
)
from packets.reading.records import OcrWord, PictureText
from packets.reading.slant import on_slant

FIRST_SIDE = 2200
"""Longest side in pixels of the first reading."""
SQUEEZE = 1.0
"""Width against height of the first reading."""
THOROUGH_SIDE = 3000
_POOR = 70.0
_WELL = 78.0
_CLEAN = 86.0
"""From this mean confidence on the shapes of marks can be trusted."""
_FEW_SYMBOLS = 12
_SURE_WORD = 60.0
_TRIAL_SIDE = 1600
_LARGE = 1700
"""From this longest side on a single picture is read at its own size."""
_UNREADABLE = 72.0
"""Below this mean confidence a page of print counts as not read."""
_MUCH_PRINT = 24
DOUBT_PLACES = "a number whose digits cannot be told apart"
DOUBT_READINGS = "numbers of which each of two readings shows only some"
DOUBT_PAGE = "a picture with print that reads too poorly to be searched"


@dataclass(frozen=True)
class LevelPage:
    """One picture made ready: as it lies after turning, and levelled."""

    turned: Image.Image
    quarter_turns: int
    skew: float

    @cached_property
    def flat(self) -> Image.Image:
        """Levelled."""
        return levelled(self.turned, self.skew)

    def cut(self, box: tuple[int, int, int, int]) -> Image.Image:
        """A part of the levelled page, white beyond its edges."""
        return level_part(self.turned, box, self.skew)


def read_numbers(
    engine: Engine, even: Image.Image, whole: PictureText | None = None
) -> PictureText:
    """What may be a number, with the words around it; all words where in doubt.

    `even` is a grey picture whose paper was made even. Only the first of two opposite
    directions and then the other are tried for a clean page; whatever does not read
    surely is read as `read_scan` does. `whole` is what that gave, if it was done before:
    it stands where it shows a number that the other reading does not.
    """
    slant = slant_of(even)
    for turns in (0, 2):
        page = _ready(even, turns + slant.sideways, slant.degrees)
        sheet = sheet_of(page.turned, slant.degrees)
        swift = read_swiftly(engine, sheet) if sheet is not None else None
        if swift is not None:
            looked = look_again(engine, page, swift.words, swift.poor)
            text = _text(page, looked.words, looked.doubts, frozenset(swift.words))
            return text if whole is None else _both(text, whole)
        if sheet is None or sheet.rough:
            break
    return whole if whole is not None else _read_evened(engine, even, slant)


def _both(text: PictureText, whole: PictureText) -> PictureText:
    """Of two readings the one that shows every number of the other; the whole one in doubt."""
    if text.quarter_turns != whole.quarter_turns:
        return whole
    here, there = _number_boxes(text), _number_boxes(whole)
    if all(is_near(box, here) for box in there):
        return text
    if all(is_near(box, there) for box in here):
        return whole
    return replace(whole, doubts=(*whole.doubts, DOUBT_READINGS))


def _number_boxes(text: PictureText) -> list[Box]:
    numbers = words_of_numbers(text.words, (text.width, text.height))
    boxes = []
    for at in sorted(numbers):
        symbols = text.words[at].symbols
        boxes.append(
            (min(s[1] for s in symbols), min(s[2] for s in symbols),
             max(s[3] for s in symbols), max(s[4] for s in symbols))
        )  # fmt: skip
    return boxes


def read_scan(engine: Engine, even: Image.Image) -> PictureText:
    """Words of a grey picture of even paper, levelled, in the direction in which it reads best."""
    return _read_evened(engine, even, slant_of(even))


def _read_evened(engine: Engine, even: Image.Image, slant: Slant) -> PictureText:
    page = _ready(even, 1 if slant.sideways else 0, slant.degrees)
    words = _first(engine, page.flat)
    if _doubtful(words):
        page, words = _best_turn(engine, even, slant.degrees, page, words)
    if words and _confidence(words) < _WELL:
        words = _surer(words, _thorough(engine, page.flat))
    orderly = _confidence(words) >= _CLEAN or not slant.lined
    unread = unread_places(page.flat, words, clean=orderly)
    looked = look_again(engine, page, words, unread)
    doubts = looked.doubts
    if slant.lined and _is_print(looked.words) and _confidence(looked.words) < _UNREADABLE:
        doubts = (*doubts, DOUBT_PAGE)
    return _text(page, looked.words, doubts)


def read_as_it_lies(engine: Engine, grey: Image.Image) -> PictureText:
    """Words of a grey picture, read once without turning, levelling or a second look."""
    longest = max(grey.size)
    scale = min(3.0, 2200 / longest) if longest < _LARGE else min(1.0, 4400 / longest)
    words = engine.page(grey, scale, scale, invert=True, exact=True)
    mean = sum(word.confidence for word in words) / len(words) if words else 0.0
    return PictureText(words, 0, grey.width, grey.height, mean)


def _ready(even: Image.Image, quarter_turns: int, skew: float) -> LevelPage:
    turned = even.rotate(90 * quarter_turns, expand=True) if quarter_turns else even
    return LevelPage(turned, quarter_turns, skew)


def _first(engine: Engine, flat: Image.Image, side: int = FIRST_SIDE) -> tuple[OcrWord, ...]:
    down = min(3.0, side / max(flat.size))
    return engine.page(flat, down * SQUEEZE, down, invert=has_dark_parts(flat))


def _thorough(engine: Engine, flat: Image.Image) -> tuple[OcrWord, ...]:
    scale = min(3.0, THOROUGH_SIDE / max(flat.size))
    return engine.page(despeckled(flat), scale, scale, invert=True)


def _best_turn(
    engine: Engine, even: Image.Image, skew: float, page: LevelPage, words: tuple[OcrWord, ...]
) -> tuple[LevelPage, tuple[OcrWord, ...]]:
    """The other three directions on small copies, the opposite one first."""
    best, most = page.quarter_turns, _worth(words)
    for step in (2, 1, 3):
        turns = (page.quarter_turns + step) % 4
        trial = _ready(even, turns, skew if step == 2 else 0.0)
        worth = _worth(_first(engine, trial.flat, _TRIAL_SIDE))
        if worth > most:
            best, most = turns, worth
        if step == 2 and best == turns and most > 4 * _worth(words):
            break
    if best == page.quarter_turns:
        return page, words
    other = _ready(even, best, skew if (best - page.quarter_turns) % 2 == 0 else 0.0)
    again = _first(engine, other.flat)
    return (other, again) if _worth(again) > _worth(words) else (page, words)


def _doubtful(words: tuple[OcrWord, ...]) -> bool:
    return _confidence(words) < _POOR or sum(len(w.symbols) for w in words) < _FEW_SYMBOLS


def _confidence(words: tuple[OcrWord, ...]) -> float:
    """Mean over the characters, 0 to 100."""
    count = sum(len(word.symbols) for word in words)
    return sum(len(w.symbols) * w.confidence for w in words) / count if count else 0.0


def _worth(words: tuple[OcrWord, ...]) -> float:
    """How much was read surely: characters of the words above the sure mark."""
    return sum(len(w.symbols) * w.confidence for w in words if w.confidence >= _SURE_WORD)


def _surer(one: tuple[OcrWord, ...], other: tuple[OcrWord, ...]) -> tuple[OcrWord, ...]:
    return other if _worth(other) > _worth(one) else one


def _is_print(words: tuple[OcrWord, ...]) -> bool:
    return sum(len(word.symbols) for word in words) >= _MUCH_PRINT


def _text(
    page: LevelPage,
    words: tuple[OcrWord, ...],
    doubts: tuple[str, ...],
    done: frozenset[OcrWord] = frozenset(),
) -> PictureText:
    """The result. Words of `done` have the places of their characters already."""
    size = page.turned.size
    level = tuple(
        word if word in done or not has_digits(word) else fitted(page.cut, word) for word in words
    )
    if _are_misplaced(page, level):
        doubts = (*doubts, DOUBT_PLACES)
    placed = tuple(
        replace(
            word,
            symbols=tuple((s[0], *on_slant(s[1:], size, page.skew)) for s in word.symbols),
        )
        for word in level
    )
    return PictureText(placed, page.quarter_turns, *size, _confidence(words), page.skew, doubts)


def _are_misplaced(page: LevelPage, words: tuple[OcrWord, ...]) -> bool:
    """Whether the digits of some number do not stand in columns of ink of their own."""
    numbers = words_of_numbers(words, page.turned.size)
    return any(has_digits(words[at]) and not is_placed(page.cut, words[at]) for at in numbers)
