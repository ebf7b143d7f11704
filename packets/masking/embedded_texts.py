"""Words inside character maps, functions and JPEGs.

None of them is drawn. Programs write names, copyrights and comments there; a
number there would travel along unseen.
"""

import re
import struct

from packets.intake.jpeg_segments import JpegFormatError, adobe_transform, without_extras

_COMMENT = re.compile(rb"%[^\r\n]*")
_STRING = re.compile(rb"\((?:[^()\\]|\\.)*\)", re.DOTALL)
_FOUR = re.compile(rb"[0-9](?:[^0-9A-Za-z]?[0-9]){3,}")
_NAME = re.compile(rb"/[^\x00\t\n\x0c\r \[\]<>(){}/%]+")
_CODES = re.compile(rb"<([0-9A-Fa-f\s]{20,})>")


def without_comments(data: bytes) -> bytes:
    """A PostScript calculator function (7.10.5) without its comments."""
    return _COMMENT.sub(b"", data)


def clean_character_map(data: bytes) -> bytes:
    """A CMap (ISO 32000-2, 9.7.5, 9.10.3) without comments and without numbers in its texts.

    A code that stands for five or more digits at once stands for nothing then:
    what was taken out of the page must not be left in the map.
    """
    plain = _COMMENT.sub(b"", data)
    plain = _STRING.sub(lambda m: b"(x)" if _FOUR.search(m.group()) else m.group(), plain)
    plain = _NAME.sub(lambda m: _FOUR.sub(b"x", m.group()), plain)
    return _CODES.sub(lambda m: b"<FFFD>" if _many_digits(m.group(1)) else m.group(), plain)


def _many_digits(codes: bytes) -> bool:
    try:
        text = bytes.fromhex(codes.decode()).decode("utf-16-be", "replace")
    except ValueError:
        return False
    return sum(char.isdigit() for char in text) > 4


_JFIF = b"\xff\xe0\x00\x10JFIF\x00\x01\x01\x00\x00\x01\x00\x01\x00\x00"
_ADOBE = b"\xff\xee\x00\x0eAdobe\x00\x64\x00\x00\x00\x00"


def bare_jpeg(data: bytes) -> bytes:
    """A JPEG without comments, EXIF, XMP and thumbnails; its picture data bit for bit.

    The two segments that say how its colours are coded are written anew.
    """
    try:
        bare, transform = without_extras(data), adobe_transform(data)
    except (JpegFormatError, IndexError, struct.error):
        return data
    head = _JFIF if data[6:11] == b"JFIF\x00" else b""
    if transform is not None:
        head += _ADOBE + bytes((transform & 0xFF,))
    return bare[:2] + head + bare[2:]
