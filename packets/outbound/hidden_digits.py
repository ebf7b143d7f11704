"""Whether a glyph is drawn as a digit, by six standard faces as PDFium draws them.

Their outlines are kept as data: tests/training/draw_standard_faces.py draws them.
"""

import struct
from functools import cache
from importlib.resources import files

from packets.outbound.glyph_outlines import POINTS, Outline

FACES = (
    b"Helvetica", b"Helvetica-Bold", b"Times-Roman", b"Times-Bold", b"Courier", b"Courier-Bold",
)  # fmt: skip
CHARACTERS = "".join(map(chr, range(0x21, 0x7F)))
_DIGITS = "0123456789"
_LIKE = 50
"""Of 252 points so many may differ between a digit and the same digit of another face."""
_CLEARLY = 13
"""By so many the digit must fit better than what the font calls the glyph."""
_DATA = "standard_faces.bin"
_ENTRY = struct.Struct(">32sd")
"""Points and proportion of one character in one face; nothing but zeros where it is empty."""


def is_hidden_digit(outline: Outline, name: str) -> bool:
    """Whether a glyph is drawn as a digit that is not the character it is called."""
    like = [
        distance
        for digit in _DIGITS
        if digit != name
        for own in standard_outlines(digit)
        if (distance := outline.distance(own)) <= _LIKE
    ]
    if not like:
        return False
    called = min((outline.distance(own) for own in standard_outlines(name)), default=POINTS)
    return min(like) <= called - _CLEARLY


@cache
def _drawn() -> dict[str, tuple[Outline, ...]]:
    entries = list(_ENTRY.iter_unpack((files(__package__) / _DATA).read_bytes()))
    faces = len(FACES)
    return {
        char: tuple(
            Outline(int.from_bytes(points), proportion)
            for points, proportion in entries[at * faces : (at + 1) * faces]
            if proportion
        )
        for at, char in enumerate(CHARACTERS)
    }


def standard_outlines(char: str) -> tuple[Outline, ...]:
    """A letter, digit or mark as the standard faces draw it; none for other characters."""
    return _drawn().get(char, ())


def as_data(outlines: list[Outline | None]) -> bytes:
    """What `standard_outlines` reads: each character in each face."""
    return b"".join(
        _ENTRY.pack(each.points.to_bytes(32), each.proportion) if each else bytes(_ENTRY.size)
        for each in outlines
    )
