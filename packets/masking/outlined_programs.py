"""Whether an embedded font program draws what its own names say.

A font with a standard encoding is asked for its glyphs by character; each is
compared with that character in standard faces, once for each font. A program
whose glyphs were shuffled shows digits under other names.
"""

import io
import re
from collections.abc import Iterator

import pymupdf
from PIL import Image, ImageFont

from packets.masking.outlined_shapes import GlyphShape, is_hidden_digit, light_shape

_PIXELS = 32
_EVERY_CODE = range(0x21, 0x100)
_NUMBER = re.compile(r"[-+]?[0-9]*\.?[0-9]+")
_LOOK_ALIKES = frozenset("oOlIij")
_ENOUGH = 3


def draws_what_it_names(document: pymupdf.Document, xref: int, encoding: str) -> bool:
    """False where several characters are drawn as other digits, or none can be asked for."""
    program = document.extract_font(xref)[3]
    if not program:
        return False
    try:
        font = ImageFont.truetype(
            io.BytesIO(program), _PIXELS, layout_engine=ImageFont.Layout.BASIC
        )
        shapes = dict(_shapes(font, _characters(document, xref, encoding)))
    except (OSError, ValueError):  # FreeType does not read it
        return False
    hidden = sum(
        1
        for char, shape in shapes.items()
        if char not in _LOOK_ALIKES and is_hidden_digit(shape, char)
    )
    return bool(shapes) and hidden < _ENOUGH


def _characters(document: pymupdf.Document, xref: int, encoding: str) -> str:
    """What the codes of a font stand for that have a width; the others are not in use."""
    kind, text = document.xref_get_key(xref, "Widths")
    if kind == "xref":
        text = document.xref_object(int(text.split()[0]))
    widths = [float(number) for number in _NUMBER.findall(text)] if kind != "null" else []
    first = document.xref_get_key(xref, "FirstChar")
    start = int(first[1]) if first[0] == "int" else 0
    codes = [start + k for k, width in enumerate(widths) if width] or list(_EVERY_CODE)
    name = "mac_roman" if encoding == "MacRomanEncoding" else "cp1252"
    inside = bytes(code for code in codes if code in _EVERY_CODE)
    return inside.decode(name, "ignore").replace("\xa0", "").replace("\xad", "")


def _shapes(font: ImageFont.FreeTypeFont, characters: str) -> Iterator[tuple[str, GlyphShape]]:
    """Those of the characters that the program has a glyph for."""
    missing = _drawn(font, "\uffff")
    for char in characters:
        picture = _drawn(font, char)
        if picture is not None and not _same(picture, missing):
            shape = light_shape(picture)
            if shape is not None:
                yield char, shape


def _drawn(font: ImageFont.FreeTypeFont, char: str) -> Image.Image | None:
    """The glyph, light on dark."""
    mask = font.getmask(char, mode="L")
    if 0 in mask.size:
        return None
    return Image.frombytes("L", mask.size, bytes(mask))


def _same(one: Image.Image, other: Image.Image | None) -> bool:
    return other is not None and one.size == other.size and one.tobytes() == other.tobytes()
