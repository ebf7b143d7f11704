"""Codings that no imaging library writes as PDF wants them (ISO 32000-2, 7.4)."""

import io
import struct

from PIL import Image

_STRIP_OFFSETS, _STRIP_COUNTS = 273, 279
"""Tags of a TIFF file (TIFF 6.0, section 3)."""


def fax_strip(picture: Image.Image) -> tuple[bytes, tuple[int, int]]:
    """Black and white by ITU-T T.6: the only strip of a TIFF; white is 1 once decoded."""
    out = io.BytesIO()
    bits = picture.point(lambda value: 255 * (value > 127)).convert("1")
    bits.save(out, "TIFF", compression="group4", tiffinfo={278: bits.height, 262: 0})
    data = out.getvalue()
    with Image.open(io.BytesIO(data)) as written:
        tags = written.tag_v2  # type: ignore[attr-defined]  # a TIFF picture has them
        start, size = tags[_STRIP_OFFSETS][0], tags[_STRIP_COUNTS][0]
    return data[start : start + size], bits.size


def jbig2_page(picture: Image.Image) -> tuple[bytes, tuple[int, int]]:
    """Black and white by ITU-T T.88: one region coded as in T.6, as PDF embeds it."""
    data, (width, height) = fax_strip(picture)
    shape = struct.pack(">II", width, height)
    page = shape + bytes(8) + b"\x00" + b"\x00\x00"
    region = shape + bytes(8) + b"\x00" + b"\x01" + data
    return _segment(0, 48, page) + _segment(1, 38, region), (width, height)


def _segment(number: int, kind: int, body: bytes) -> bytes:
    """T.88, 7.2: number, kind, no other segment referred to, page 1, length."""
    return struct.pack(">IBBBI", number, kind, 0, 1, len(body)) + body


def run_lengths(data: bytes) -> bytes:
    """Copied as it is, in runs of 128 (7.4.5)."""
    parts = [data[at : at + 128] for at in range(0, len(data), 128)]
    return b"".join(bytes([len(part) - 1]) + part for part in parts) + b"\x80"


def lzw_packed(data: bytes) -> bytes:
    """Nine-bit codes only: each byte as itself, the table cleared before it grows (7.4.4)."""
    codes: list[int] = []
    for at in range(0, len(data), 200):
        codes += [256, *data[at : at + 200]]
    value = 0
    for code in [*codes, 257]:
        value = value << 9 | code
    bits = 9 * (len(codes) + 1)
    return (value << (-bits % 8)).to_bytes(-(-bits // 8), "big")
