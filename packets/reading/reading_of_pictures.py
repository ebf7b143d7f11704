"""The engine together with the ways of reading a picture with it."""

from PIL import Image

from packets.reading.ink_lines_engine import Engine
from packets.reading.ink_lines_page import (
    read_as_it_lies,
    read_numbers,
    read_scan,
)
from packets.reading.records import PictureText


class ReadingOfPictures:
    """An OCR engine at work. Heavy to load, so that it is made for the first picture."""

    def __init__(self) -> None:
        self._engine = Engine()

    def close(self) -> None:
        """Free the engine's memory."""
        self._engine.close()

    def scan(self, grey: Image.Image) -> PictureText:
        """A page that was scanned."""
        return read_scan(self._engine, grey)

    def as_it_lies(self, grey: Image.Image) -> PictureText:
        """A picture that is no page."""
        return read_as_it_lies(self._engine, grey)

    def numbers(self, grey: Image.Image, whole: PictureText | None) -> PictureText:
        """Whatever in a scan may be a number, and the words around it.

        `whole`: the same picture as `scan` read it, if it did.
        """
        return read_numbers(self._engine, grey, whole)
