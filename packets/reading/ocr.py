"""Optical character recognition of pictures, each distinct picture once.

Sparse-text mode, because a form is words in boxes and not a flowing column;
the house's own layout puts words into lines.
"""

import hashlib
from types import TracebackType

from PIL import Image

from packets.reading.ink_lines_engine import Engine
from packets.reading.ink_lines_page import read_as_it_lies, read_numbers, read_scan
from packets.reading.records import PictureText


class OcrReader:
    """One OCR engine and the memory of what it has read. Close it, or use `with`."""

    def __init__(self) -> None:
        self._engine = Engine()
        self._read: dict[str, PictureText] = {}
        self._numbers: dict[str, PictureText] = {}

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
        self._engine.close()

    def read(self, picture: Image.Image, *, turn: bool = True) -> PictureText:
        """Words of a grey or colour picture; the same picture is read only once.

        With `turn` the picture is taken for a page that was scanned: its paper is
        evened, its lines are levelled, the direction in which it reads best is
        kept, and what may be a number is looked at twice. Without, it is read
        once as it lies.
        """
        grey = picture if picture.mode == "L" else picture.convert("L")
        key = f"{turn}:{_key(grey)}"
        if key not in self._read:
            reader = read_scan if turn else read_as_it_lies
            self._read[key] = reader(self._engine, grey)
        return self._read[key]

    def read_numbers(self, picture: Image.Image) -> PictureText:
        """Whatever in a scanned picture may be a number, and the words around it.

        A picture that was read whole before is not read again.
        """
        grey = picture if picture.mode == "L" else picture.convert("L")
        key = _key(grey)
        whole = self._read.get(f"{True}:{key}")
        if whole is not None:
            return whole
        if key not in self._numbers:
            self._numbers[key] = read_numbers(self._engine, grey)
        return self._numbers[key]


def _key(grey: Image.Image) -> str:
    return f"{grey.size}:{hashlib.sha256(grey.tobytes()).hexdigest()}"
