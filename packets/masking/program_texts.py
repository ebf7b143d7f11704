"""Where words stand inside font programs and colour profiles, and only there.

The rest of them is binary: rows of glyph numbers may look like digits and must
not be touched. Names and copyrights are texts; a number there travels unseen.
"""

import re
import struct
from collections.abc import Iterator

_NINE = re.compile(rb"[0-9](?:-?[0-9]){8,}|\x00[0-9](?:(?:\x00-)?\x00[0-9]){8,}")
_DIGIT = re.compile(rb"[0-9]")
_TEXT_TYPES = frozenset({b"text", b"desc", b"mluc", b"dict", b"data"})

Span = tuple[int, int]


def without_long_numbers(data: bytes) -> bytes:
    """The same bytes, as many, with an x for each digit of nine or more in a row in a text."""
    try:
        spans = list(_texts(data))
    except (struct.error, IndexError, ValueError):
        return data
    out = bytearray(data)
    for start, end in spans:
        part = _NINE.sub(lambda run: _DIGIT.sub(b"x", run.group()), data[start:end])
        out[start:end] = part
    return bytes(out)


def _texts(data: bytes) -> Iterator[Span]:
    if data[:4] in (b"\0\1\0\0", b"true", b"OTTO", b"ttcf"):
        return _name_table(data)
    if data[:2] in (b"%!", b"\x80\x01"):
        end = data.find(b"eexec")
        return iter([(0, end if end >= 0 else len(data))])
    if data[36:40] == b"acsp":
        return _profile_texts(data)
    if data[:1] == b"\x01" and 1 <= data[3] <= 4:
        return _compact_font_texts(data)
    return iter([(0, len(data))])


def _name_table(data: bytes) -> Iterator[Span]:
    """The `name` table of a TrueType or OpenType font, and the `CFF ` table's texts."""
    if data[:4] == b"ttcf":
        return
    (count,) = struct.unpack(">H", data[4:6])
    for at in range(12, 12 + 16 * count, 16):
        tag, _, start, length = struct.unpack(">4sIII", data[at : at + 16])
        if tag == b"name":
            yield start, start + length
        elif tag == b"CFF ":
            table = data[start : start + length]
            yield from ((start + low, start + high) for low, high in _compact_font_texts(table))


def _profile_texts(data: bytes) -> Iterator[Span]:
    """Tags of a text type (ICC.1, 7.3 and 10)."""
    (count,) = struct.unpack(">I", data[128:132])
    for at in range(132, 132 + 12 * min(count, 200), 12):
        _, start, length = struct.unpack(">4sII", data[at : at + 12])
        if data[start : start + 4] in _TEXT_TYPES:
            yield start + 8, start + length


def _compact_font_texts(data: bytes) -> Iterator[Span]:
    """Name INDEX and String INDEX of a compact font (Adobe Technical Note 5176)."""
    at = data[2]
    for kind in ("names", "dictionaries", "strings"):
        start, at = _index(data, at)
        if kind != "dictionaries":
            yield start, at


def _index(data: bytes, at: int) -> Span:
    """Where the objects of an INDEX start, and where it ends."""
    (count,) = struct.unpack(">H", data[at : at + 2])
    if not count:
        return at + 2, at + 2
    size = data[at + 2]
    last = at + 3 + size * count
    start = last + size - 1
    return start + 1, start + int.from_bytes(data[last : last + size], "big")
