"""Taking off one layer of a stream's packing, and stopping at a limit.

Damage ends a layer early and is no concern here: it is judged where the stream
is read in earnest.
"""

import base64
import contextlib
import zlib

_PIECE = 1 << 20
_HEX = frozenset(b"0123456789abcdefABCDEF")
_CLEAR, _END, _FIRST = 256, 257, 258
_WIDEST = 12


def inflated(data: bytes, most: int) -> bytes | None:
    """The bytes under deflate, or None when there are more than `most`."""
    unpack = zlib.decompressobj()
    kept = bytearray()
    rest = data
    with contextlib.suppress(zlib.error):
        while not unpack.eof:
            piece = unpack.decompress(rest, _PIECE)
            rest = unpack.unconsumed_tail
            kept += piece
            if len(kept) > most:
                return None
            if not piece and not rest:
                break
    return bytes(kept)


def runs(data: bytes, most: int) -> bytes | None:
    """The bytes under run-length packing (ISO 32000-2, 7.4.5), or None beyond `most`."""
    kept = bytearray()
    at = 0
    while at < len(data) and data[at] != 128:
        count = data[at]
        if count < 128:
            kept += data[at + 1 : at + 2 + count]
            at += count + 2
        else:
            kept += data[at + 1 : at + 2] * (257 - count)
            at += 2
        if len(kept) > most:
            return None
    return bytes(kept)


def from_hex(data: bytes, most: int) -> bytes | None:
    """The bytes under hexadecimal digits (7.4.2)."""
    digits = bytes(mark for mark in data.partition(b">")[0] if mark in _HEX)
    unpacked = bytes.fromhex((digits + b"0" * (len(digits) % 2)).decode("ascii"))
    return unpacked if len(unpacked) <= most else None


def from_base85(data: bytes, most: int) -> bytes | None:
    """The bytes under base-85 digits (7.4.3)."""
    text = data.partition(b"~>")[0].removeprefix(b"<~")
    unpacked = b""
    with contextlib.suppress(ValueError):
        unpacked = base64.a85decode(text, ignorechars=b" \t\n\r\v\f\0")
    return unpacked if len(unpacked) <= most else None


def lzw_length(data: bytes, most: int) -> int:
    """How many bytes LZW codes stand for (7.4.4.2), counted no further than past `most`.

    Only lengths are kept: each new entry is one byte longer than the code
    before it. With or without an early change of width, the count is nearly the
    same, and a file that lies about it is only counted differently.
    """
    lengths: list[int] = []
    before = total = held = bits = 0
    width = 9
    for byte in data:
        held = (held << 8) | byte
        bits += 8
        if bits < width:
            continue
        bits -= width
        code = held >> bits
        held &= (1 << bits) - 1
        if code == _CLEAR:
            lengths, before, width = [], 0, 9
            continue
        if code == _END:
            break
        length = _entry_length(code, lengths, before)
        total += length
        if total > most:
            break
        if before and len(lengths) < 4096 - _FIRST:
            lengths.append(before + 1)
            width = min(_WIDEST, max(9, (len(lengths) + _FIRST + 1).bit_length()))
        before = length
    return total


def _entry_length(code: int, lengths: list[int], before: int) -> int:
    if code < _CLEAR:
        return 1
    place = code - _FIRST
    return lengths[place] if place < len(lengths) else before + 1
