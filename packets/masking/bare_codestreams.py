"""JPEG 2000, JBIG2 and CCITT data with what makes the picture, and nothing besides."""

import struct
from collections.abc import Iterator

_PICTURE_BOXES = frozenset({b"jP  ", b"ftyp", b"jp2h", b"jp2c"})
_HEADER_BOXES = frozenset({b"ihdr", b"bpcc", b"colr", b"pclr", b"cmap", b"cdef", b"res "})
_START, _TILE, _DATA, _END, _COMMENT = 0xFF4F, 0xFF90, 0xFF93, 0xFFD9, 0xFF64
_DRAWING_SEGMENTS = frozenset(
    {0, 4, 6, 7, 16, 20, 22, 23, 36, 38, 39, 40, 42, 43, 48, 49, 50, 51, 52, 53}
)
_JBIG2_COMMENT, _JBIG2_END = 62, 51
_UNKNOWN_LENGTH = 0xFFFFFFFF
_END_OF_BLOCK = "000000000001" * 2


def bare_jpeg_2000(data: bytes) -> bytes:
    """JPEG 2000 (ISO/IEC 15444-1, Annexes A and I) without other boxes and without comments."""
    try:
        if data[4:8] != b"jP  ":
            return _bare_codestream(data)
        return b"".join(_bare_box(kind, box) for kind, box in _boxes(data))
    except (struct.error, IndexError):
        return data


def _bare_box(kind: bytes, box: bytes) -> bytes:
    if kind not in _PICTURE_BOXES:
        return b""
    start = 16 if box[:4] == b"\0\0\0\1" else 8
    if kind == b"jp2c":
        clean = _bare_codestream(box[start:])
        return box[:start] + clean.ljust(len(box) - start, b"\0")
    if kind == b"jp2h":
        inner = (_freed(name, part) for name, part in _boxes(box[start:]))
        return box[:start] + b"".join(inner)
    return box


def _freed(kind: bytes, box: bytes) -> bytes:
    """A box of a kind that does not draw, emptied: the lengths around it stay true."""
    return box if kind in _HEADER_BOXES else box[:4] + b"free" + bytes(len(box) - 8)


def _boxes(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    at = 0
    while at + 8 <= len(data):
        length = struct.unpack(">I", data[at : at + 4])[0]
        if length == 1 and at + 16 <= len(data):
            length = struct.unpack(">Q", data[at + 8 : at + 16])[0]
        end = at + length if length >= 8 else len(data)
        yield data[at + 4 : at + 8], data[at:end]
        at = end


def _bare_codestream(data: bytes) -> bytes:
    """The codestream up to its end, its comments overwritten: tile parts tell their lengths."""
    if _word(data, 0) != _START:
        return data
    out = bytearray(data)
    at, tile_end = 2, 0
    while True:
        marker = _word(data, at)
        if marker == _END:
            return bytes(out[: at + 2])
        if marker == _DATA:
            at = tile_end or data.rindex(b"\xff\xd9")
            continue
        length = _word(data, at + 2)
        if marker == _COMMENT:
            out[at + 6 : at + 2 + length] = b" " * (length - 4)
        if marker == _TILE:
            part = struct.unpack(">I", data[at + 6 : at + 10])[0]
            tile_end = at + part if part else 0
        if length < 2 or (marker != _TILE and tile_end and at >= tile_end):
            return data
        at += 2 + length


def _word(data: bytes, at: int) -> int:
    return int(struct.unpack(">H", data[at : at + 2])[0])


def bare_jbig2(data: bytes) -> bytes:
    """Segments (ISO/IEC 14492, 7.2) that draw, without comments and what follows the last."""
    kept, at = b"", 0
    while at < len(data):
        try:
            kind, start, length = _segment(data, at)
        except (struct.error, IndexError):
            break
        if kind not in _DRAWING_SEGMENTS and kind != _JBIG2_COMMENT:
            break
        end = start + length
        if length == _UNKNOWN_LENGTH or end > len(data):
            return kept + data[at:]  # a reader shows what there is of it
        if kind not in (_JBIG2_COMMENT, _JBIG2_END):
            kept += data[at:end]
        at = end
    return kept


def _segment(data: bytes, at: int) -> tuple[int, int, int]:
    """Kind of a segment, where its data starts, and how long they are."""
    number, flags, count = struct.unpack(">IBB", data[at : at + 6])
    place = at + 6
    referred = count >> 5
    if referred == 7:
        referred = struct.unpack(">I", data[at + 5 : at + 9])[0] & 0x1FFFFFFF
        place = at + 9 + (referred + 8) // 8
    place += referred * (1 if number <= 256 else 2 if number <= 65536 else 4)
    place += 4 if flags & 0x40 else 1
    return flags & 0x3F, place + 4, struct.unpack(">I", data[place : place + 4])[0]


def bare_fax(data: bytes) -> bytes:
    """Group 4 data (ITU-T T.6) up to the mark that ends it, where there is one."""
    bits = bin(int.from_bytes(b"\1" + data))[3:]
    end = bits.find(_END_OF_BLOCK)
    return data if end < 0 else data[: (end + len(_END_OF_BLOCK) + 7) // 8]
