"""Does any stream of a PDF unpack to more than we promise to handle?

Checked before anything else unpacks one: a few kilobytes of nested zeros can
stand for many gigabytes. Streams are unpacked here piece by piece and thrown
away, and no further than the limit.
"""

import zlib

import pikepdf

from packets.base.limits import Limits

_PIECE = 1 << 20
_MOST_FLATE_LAYERS = 4


def first_oversized_stream(pdf: pikepdf.Pdf, limits: Limits) -> str:
    """Which stream is too large, in words such as `object 12 0`; empty when none is."""
    for item in pdf.objects:
        if isinstance(item, pikepdf.Stream) and _too_large(item, limits.stream_bytes):
            return f"object {item.objgen[0]} {item.objgen[1]}"
    return ""


def _too_large(stream: pikepdf.Stream, most: int) -> bool:
    layers = _leading_flate_layers(stream)
    if layers == 0:
        return False  # DCT, CCITT, JBIG2 and JPX are bounded by their own picture size
    if layers > _MOST_FLATE_LAYERS:
        return True
    data = stream.read_raw_bytes()
    # 1032 to 1 is the most that one layer of deflate can do (RFC 1951).
    if len(data) * 1032**layers <= most:
        return False
    for layer in range(layers):
        inflated = _inflated(data, most, keep=layer + 1 < layers)
        if inflated is None:
            return True
        data = inflated
    return False


def _inflated(data: bytes, most: int, *, keep: bool) -> bytes | None:
    """The unpacked bytes (empty unless kept), or None when there are more than `most`."""
    unpack = zlib.decompressobj()
    kept = bytearray()
    size = 0
    rest = data
    try:
        while rest and not unpack.eof:
            piece = unpack.decompress(rest, _PIECE)
            rest = unpack.unconsumed_tail
            size += len(piece)
            if size > most:
                return None
            if keep:
                kept += piece
            if not piece and not rest:
                break
    except zlib.error:
        pass  # damaged streams are judged where they are read
    return bytes(kept)


def _leading_flate_layers(stream: pikepdf.Stream) -> int:
    filters = stream.get("/Filter")
    if isinstance(filters, pikepdf.Name):
        names = [str(filters)]
    elif isinstance(filters, pikepdf.Array):
        names = [str(entry) for entry in list(filters)[: _MOST_FLATE_LAYERS + 2]]
    else:
        return 0
    layers = 0
    for name in names:
        if name not in ("/FlateDecode", "/Fl"):
            break
        layers += 1
    return layers
