"""Where words stand inside font programs and colour profiles, and only there.

The rest of them is binary: rows of glyph numbers may look like digits and must
not be touched. Names and copyrights are texts; a number there travels unseen.
"""

import re
import struct
from collections.abc import Iterator

_NINE = re.compile(rb"[0-9](?:[ ./-]?[0-9]){8,}|\x00[0-9](?:(?:\x00[ ./-])?\x00[0-9]){8,}")
_DIGIT = re.compile(rb"[0-9]")
_NUMBER_TYPES = frozenset(
    {b"XYZ ", b"curv", b"para", b"mft1", b"mft2", b"mAB ", b"mBA ", b"mpet", b"sf32", b"uf32",
     b"ui08", b"ui16", b"ui32", b"ui64", b"chrm", b"view", b"meas", b"sig ", b"dtim", b"cicp"}
)  # fmt: skip
"""Tag types of a profile that hold numbers and no words."""
_DRAWING_TABLES = frozenset(
    {b"glyf", b"loca", b"head", b"hhea", b"hmtx", b"maxp", b"cvt ", b"fpgm", b"prep", b"OS/2",
     b"cmap", b"gasp", b"hdmx", b"VDMX", b"kern", b"GSUB", b"GPOS", b"GDEF", b"BASE", b"vhea",
     b"vmtx", b"VORG", b"LTSH", b"PCLT", b"EBDT", b"EBLC", b"EBSC", b"COLR", b"CPAL", b"CFF2"}
)  # fmt: skip
"""Tables of a font that hold numbers and no words (ISO/IEC 14496-22, clause 5)."""
_MEASURES = re.compile(
    rb"/Font(?:BBox|Matrix)\s*([\[{](?:\s*[-+]?[0-9.]+(?:[eE]-?[0-9]+)?){4,6}\s*[\]}])"
)
"""Adobe Type 1 Font Format (1990), 2.2."""

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
        return _table_texts(data)
    if data[:2] in (b"%!", b"\x80\x01"):
        return _type_one_texts(data)
    if data[36:40] == b"acsp":
        return _profile_texts(data)
    if data[:1] == b"\x01" and 1 <= data[3] <= 4:
        return _compact_font_texts(data)
    return iter([(0, len(data))])


def _table_texts(data: bytes) -> Iterator[Span]:
    """Names in a TrueType or OpenType font, tables that draw nothing, and what is in no table."""
    if data[:4] == b"ttcf":
        return
    (count,) = struct.unpack(">H", data[4:6])
    tables = [(0, 12 + 16 * count)]
    for at in range(12, 12 + 16 * count, 16):
        tag, _, start, length = struct.unpack(">4sIII", data[at : at + 16])
        tables.append((start, start + length))
        if tag == b"CFF ":
            table = data[start : start + length]
            yield from ((start + low, start + high) for low, high in _compact_font_texts(table))
        elif tag == b"post":
            (names,) = struct.unpack(">H", data[start + 32 : start + 34] or b"\0\0")
            yield start + 34 + 2 * names, start + length
        elif tag not in _DRAWING_TABLES:
            yield start, start + length
    yield from _between(tables, len(data))


def _between(parts: list[Span], end: int) -> Iterator[Span]:
    """What lies in none of the parts."""
    at = 0
    for start, stop in sorted(parts):
        if start > at:
            yield at, start
        at = max(at, stop)
    if at < end:
        yield at, end


def _type_one_texts(data: bytes) -> Iterator[Span]:
    """The plain part of a Type 1 font, and what follows its last operator.

    Without the box and the matrix that the glyphs are drawn by.
    """
    start, end = data.find(b"eexec"), data.rfind(b"cleartomark")
    at, plain = 0, start if start >= 0 else len(data)
    for found in _MEASURES.finditer(data, 0, plain):
        yield at, found.start(1)
        at = found.end(1)
    yield at, plain
    if 0 <= start < end:
        yield end, len(data)


def _profile_texts(data: bytes) -> Iterator[Span]:
    """Tags of a text type, or of one nobody knows, and what is in no tag (ICC.1, 7.3 and 10)."""
    (count,) = struct.unpack(">I", data[128:132])
    tags = [(0, 132 + 12 * min(count, 200))]
    for at in range(132, 132 + 12 * min(count, 200), 12):
        _, start, length = struct.unpack(">4sII", data[at : at + 12])
        tags.append((start, start + length))
        if data[start : start + 4] not in _NUMBER_TYPES:
            yield start + 8, start + length
    yield from _between(tags, len(data))


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
