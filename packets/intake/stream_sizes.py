"""Does any stream of a PDF unpack to more than we promise to handle?

Checked before anything else unpacks one: a few kilobytes of nested zeros can
stand for many gigabytes. Layers are taken off here one by one, and no further
than the limit.
"""

import math
from typing import Protocol

import pikepdf

from packets.base.limits import Limits
from packets.intake.bounded_filters import from_base85, from_hex, inflated, lzw_length, runs

_MOST_LAYERS = 6


class _Unpack(Protocol):
    def __call__(self, data: bytes, most: int) -> bytes | None: ...


_UNPACK: dict[str, _Unpack] = {
    "/FlateDecode": inflated,
    "/Fl": inflated,
    "/RunLengthDecode": runs,
    "/RL": runs,
    "/ASCIIHexDecode": from_hex,
    "/AHx": from_hex,
    "/ASCII85Decode": from_base85,
    "/A85": from_base85,
}
_LZW = ("/LZWDecode", "/LZW")
_GROWTH = {
    # The most that one layer can grow: RFC 1951; ISO 32000-2, 7.4.4 and 7.4.5.
    "/FlateDecode": 1032,
    "/Fl": 1032,
    "/RunLengthDecode": 64,
    "/RL": 64,
    "/LZWDecode": 2731,
    "/LZW": 2731,
}


def first_oversized_stream(pdf: pikepdf.Pdf, limits: Limits) -> str:
    """Which stream is too large, in words such as `object 12 0`; empty when none is."""
    for item in pdf.objects:
        if isinstance(item, pikepdf.Stream) and _too_large(item, limits.stream_bytes):
            return f"object {item.objgen[0]} {item.objgen[1]}"
    return ""


def _too_large(stream: pikepdf.Stream, most: int) -> bool:
    """Whether the layers of packing that can grow, taken off one by one, pass the limit.

    DCT, CCITT, JBIG2 and JPX end the walk: their size is the picture's own.
    """
    names = _filters(stream)
    if len(names) > _MOST_LAYERS:
        return True
    ratio = math.prod(_GROWTH.get(name, 1) for name in names)
    data = stream.read_raw_bytes() if ratio > 1 else b""
    if len(data) * ratio <= most:
        return False
    for place, name in enumerate(names):
        if name in _LZW:
            more = any(later in _GROWTH for later in names[place + 1 :])
            return more or lzw_length(data, most) > most
        if name not in _UNPACK:
            return False
        unpacked = _UNPACK[name](data, most)
        if unpacked is None:
            return True
        data = unpacked
    return False


def _filters(stream: pikepdf.Stream) -> list[str]:
    filters = stream.get("/Filter")
    if isinstance(filters, pikepdf.Name):
        return [str(filters)]
    if isinstance(filters, pikepdf.Array):
        return [str(entry) for entry in list(filters)[: _MOST_LAYERS + 1]]
    return []
