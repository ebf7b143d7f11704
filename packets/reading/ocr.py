"""Optical character recognition of pictures, each distinct picture once.

Sparse-text mode, because a form is words in boxes and not a flowing column;
the house's own layout puts words into lines.
"""

import hashlib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import islice
from types import TracebackType
from typing import TYPE_CHECKING, TypeVar

from PIL import Image

from packets.base.shared_out import shared_out
from packets.reading.records import PictureText

if TYPE_CHECKING:
    from packets.reading.reading_of_pictures import ReadingOfPictures


T = TypeVar("T")
R = TypeVar("R")
_Read = tuple[tuple[str, PictureText], ...]


@dataclass(frozen=True)
class _Memory:
    """What was read for one item, by the keys of the pictures."""

    read: _Read
    numbers: _Read


class OcrReader:
    """One OCR engine and the memory of what it has read. Close it, or use `with`."""

    def __init__(self) -> None:
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
        if "_reading" in self.__dict__:
            self._reading.close()

    @cached_property
    def _reading(self) -> "ReadingOfPictures":
        from packets.reading.reading_of_pictures import (  # noqa: PLC0415 - many returns hold no scan
            ReadingOfPictures,
        )

        return ReadingOfPictures()

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
            reading = self._reading
            self._read[key] = reading.scan(grey) if turn else reading.as_it_lies(grey)
        return self._read[key]

    def read_numbers(self, picture: Image.Image) -> PictureText:
        """Whatever in a scanned picture may be a number, and the words around it.

        What was read of the whole picture before counts as well.
        """
        grey = picture if picture.mode == "L" else picture.convert("L")
        key = _key(grey)
        if key not in self._numbers:
            whole = self._read.get(f"{True}:{key}")
            self._numbers[key] = self._reading.numbers(grey, whole)
        return self._numbers[key]

    def shared_out(
        self,
        items: Sequence[T],
        work: Callable[[T], R],
        tell: Callable[[T], None] = lambda _: None,
    ) -> list[R]:
        """What `work`, which reads by this reader, makes of each item; by two processes if it may.

        What either has read is remembered here. `tell` hears of the items that are done here.
        """

        def noted(item: T) -> tuple[R, _Memory]:
            before = len(self._read), len(self._numbers)
            result = work(item)
            return result, _Memory(
                tuple(islice(self._read.items(), before[0], None)),
                tuple(islice(self._numbers.items(), before[1], None)),
            )

        results = []
        for result, gained in shared_out(items, noted, tell):
            self._read.update(gained.read)
            self._numbers.update(gained.numbers)
            results.append(result)
        return results

    def aslant(self, grey: Image.Image, text: PictureText) -> Iterator[Image.Image]:
        """Parts of a grey scan that do not lie as its lines do, each levelled.

        `text` is what was read of it. They are read by `read_numbers`.
        """
        return self._reading.aslant(grey, text.skew)


def _key(grey: Image.Image) -> str:
    return f"{grey.size}:{hashlib.sha256(grey.tobytes()).hexdigest()}"
