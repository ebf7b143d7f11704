"""The engine together with the ways of reading a picture with it."""

from collections.abc import Iterator

from PIL import Image

from packets.reading.aslant import parts_aslant
from packets.reading.ink_lines_engine import Engine
from packets.reading.ink_lines_page import (
    read_as_it_lies,
    read_numbers,
    read_scan,
)
from packets.reading.picture_cleaning import evened
from packets.reading.records import PictureText


class ReadingOfPictures:
    """An OCR engine at work. Heavy to load, so that it is made for the first picture."""

    def __init__(self) -> None:
        self._engine = Engine()
        self._evened: tuple[Image.Image, Image.Image] | None = None

    def close(self) -> None:
        """Free the engine's memory."""
        self._engine.close()

    def scan(self, grey: Image.Image) -> PictureText:
        """A page that was scanned."""
        return read_scan(self._engine, self._even(grey))

    def as_it_lies(self, grey: Image.Image) -> PictureText:
        """A picture that is no page."""
        return read_as_it_lies(self._engine, grey)

    def numbers(self, grey: Image.Image, whole: PictureText | None) -> PictureText:
        """Whatever in a scan may be a number, and the words around it.

        `whole`: the same picture as `scan` read it, if it did.
        """
        return read_numbers(self._engine, self._even(grey), whole)

    def aslant(self, grey: Image.Image, level: float) -> Iterator[Image.Image]:
        """Parts of a scan that do not lie as its lines do, levelled."""
        return parts_aslant(self._even(grey), level)

    def _even(self, grey: Image.Image) -> Image.Image:
        """The picture on even paper; the last one is kept, for it is asked for again."""
        if self._evened is None or self._evened[0] is not grey:
            self._evened = grey, evened(grey)
        return self._evened[1]
