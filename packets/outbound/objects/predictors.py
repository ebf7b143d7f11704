"""Undoing the predictors of Flate and LZW (ISO 32000-2, 7.4.4.4)."""

from packets.base.errors import Damaged, OverLimit
from packets.outbound.objects.values import Value

SLOW_BYTES = 32 * 1024 * 1024
"""Most bytes of one stream that are decoded byte by byte in Python."""


def without_predictor(data: bytes, parameters: dict[str, Value]) -> bytes:
    """`data` as it was before the predictor; the same bytes where there was none."""
    predictor = _number(parameters, "Predictor", 1, 1, 15)
    if predictor == 1:
        return data
    if len(data) > SLOW_BYTES:
        raise OverLimit("a stream too large to undo its predictor")
    colors = _number(parameters, "Colors", 1, 1, 64)
    bits = _number(parameters, "BitsPerComponent", 8, 1, 16)
    columns = _number(parameters, "Columns", 1, 1, 1_000_000)
    row = (columns * colors * bits + 7) // 8
    step = max(1, colors * bits // 8)
    if predictor == 2:
        return _tiff(data, row, step, bits)
    return _png(data, row, step)


def _number(parameters: dict[str, Value], key: str, default: int, least: int, most: int) -> int:
    value = parameters.get(key, default)
    if not isinstance(value, int) or not least <= value <= most:
        raise Damaged("predictor settings out of range")
    return value


def _tiff(data: bytes, row: int, step: int, bits: int) -> bytes:
    if bits != 8:
        raise Damaged("a TIFF predictor on samples that are not bytes")
    plain = bytearray(data)
    for start in range(0, len(plain), row):
        for at in range(start + step, min(start + row, len(plain))):
            plain[at] = (plain[at] + plain[at - step]) & 0xFF
    return bytes(plain)


def _png(data: bytes, row: int, step: int) -> bytes:
    above = bytes(row)
    rows: list[bytes] = []
    for start in range(0, len(data), row + 1):
        kind = data[start]
        line = bytearray(data[start + 1 : start + 1 + row])
        if kind == 2:
            line = _up(line, above)
        elif kind == 1:
            for at in range(step, len(line)):
                line[at] = (line[at] + line[at - step]) & 0xFF
        elif kind == 3:
            for at in range(len(line)):
                left = line[at - step] if at >= step else 0
                line[at] = (line[at] + (left + above[at]) // 2) & 0xFF
        elif kind == 4:
            _paeth(line, above, step)
        elif kind != 0:
            raise Damaged("a predictor row of no known kind")
        rows.append(bytes(line))
        above = bytes(line).ljust(row, b"\0")
    return b"".join(rows)


def _up(line: bytearray, above: bytes) -> bytearray:
    return bytearray((a + b) & 0xFF for a, b in zip(line, above, strict=False))


def _paeth(line: bytearray, above: bytes, step: int) -> None:
    for at in range(len(line)):
        left = line[at - step] if at >= step else 0
        corner = above[at - step] if at >= step else 0
        up = above[at]
        guess = left + up - corner
        to_left, to_up, to_corner = abs(guess - left), abs(guess - up), abs(guess - corner)
        if to_left <= to_up and to_left <= to_corner:
            best = left
        else:
            best = up if to_up <= to_corner else corner
        line[at] = (line[at] + best) & 0xFF
