"""LZW as PDF uses it (ISO 32000-2, 7.4.4): codes of 9 to 12 bits, high bit first."""

from packets.base.errors import OverLimit

_CLEAR, _END = 256, 257


def lzw_decoded(data: bytes, most: int, *, early: int = 1) -> tuple[bytes, bool]:
    """The plain bytes, and whether the end-of-data code or the last full code was met.

    `early` is /EarlyChange. Raises OverLimit beyond `most` bytes.
    """
    table: list[bytes] = [bytes([i]) for i in range(256)] + [b"", b""]
    parts: list[bytes] = []
    width, bits, held, size = 9, 0, 0, 0
    previous = b""
    for byte in data:
        held = (held << 8) | byte
        bits += 8
        if bits < width:
            continue
        bits -= width
        code = held >> bits
        held &= (1 << bits) - 1
        if code == _CLEAR:
            del table[258:]
            width, previous = 9, b""
            continue
        if code == _END:
            return b"".join(parts), True
        if code < len(table):
            entry = table[code]
        elif code == len(table) and previous:
            entry = previous + previous[:1]
        else:
            return b"".join(parts), False
        parts.append(entry)
        size += len(entry)
        if size > most:
            raise OverLimit("a stream that unpacks beyond the limit")
        if previous and len(table) < 4096:
            table.append(previous + entry[:1])
        previous = entry
        width = _width(len(table) + early)
    return b"".join(parts), False


def _width(count: int) -> int:
    """Bits of the next code when the table holds `count` entries."""
    return 9 if count < 512 else 10 if count < 1024 else 11 if count < 2048 else 12
