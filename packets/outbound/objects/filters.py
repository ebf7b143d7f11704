"""Undoing the filters of a stream (ISO 32000-2, 7.4), each within a bound."""

import base64
import binascii
import re
import zlib
from collections.abc import Callable
from dataclasses import dataclass

from packets.base.errors import Damaged, OverLimit
from packets.outbound.objects.lzw import lzw_decoded
from packets.outbound.objects.predictors import SLOW_BYTES, without_predictor
from packets.outbound.objects.values import FileObject, Name, Value

PICTURE_FILTERS = frozenset(
    {"DCTDecode", "DCT", "JPXDecode", "JBIG2Decode", "CCITTFaxDecode", "CCF"}
)
_MOST_FILTERS = 8
_HEX_END = re.compile(rb"[^0-9A-Fa-f\x00\t\n\x0c\r ]")


@dataclass(frozen=True)
class Decoded:
    """A stream without its filters, as far as they could be undone."""

    data: bytes
    picture: str = ""
    """Name of the picture filter that `data` still bears; empty where there is none."""
    tail: bytes = b""
    """Bytes behind the end of compressed data, which no reader shows."""
    faults: tuple[str, ...] = ()


def filters_of(entries: dict[str, Value]) -> tuple[tuple[str, dict[str, Value]], ...]:
    """Filter names with their parameters, in the order in which they are undone.

    Raises Damaged for a filter that is no name, OverLimit for too many.
    """
    named = entries.get("Filter")
    parameters = entries.get("DecodeParms")
    names = named if isinstance(named, list) else [] if named is None else [named]
    given = parameters if isinstance(parameters, list) else [parameters]
    chain: list[tuple[str, dict[str, Value]]] = []
    for place, name in enumerate(names):
        if not isinstance(name, Name):
            raise Damaged("a filter that is no name")
        own = given[place] if place < len(given) else None
        chain.append((str(name), own if isinstance(own, dict) else {}))
    if len(chain) > _MOST_FILTERS:
        raise OverLimit("more than eight filters on one stream")
    return tuple(chain)


def decoded(stream: FileObject, raw: bytes, entries: dict[str, Value], most: int) -> Decoded:
    """`raw` with every filter undone that is no picture coding.

    `entries` is the stream's dictionary with references resolved; `most` bounds
    the size after each step. What cannot be undone is told in `faults`.
    """
    data, tail, faults = raw, b"", []
    try:
        chain = filters_of(entries)
        for place, (name, parameters) in enumerate(chain):
            if name in PICTURE_FILTERS:
                if place + 1 < len(chain):
                    faults.append(f"{stream.place}: a filter below a picture coding")
                return Decoded(data, name, tail, tuple(faults))
            if name == "Crypt":
                continue
            data, more, whole = _undone(name, data, most, parameters)
            tail += more
            if not whole:
                faults.append(f"{stream.place}: compressed data that breaks off")
            if entries.get("Subtype") != "Image":  # samples are for the reader of pictures
                data = without_predictor(data, parameters)
    except (Damaged, OverLimit) as fault:
        faults.append(f"{stream.place}: {fault.what}")
    return Decoded(data, "", tail, tuple(faults))


def _undone(
    name: str, data: bytes, most: int, parameters: dict[str, Value]
) -> tuple[bytes, bytes, bool]:
    """Data behind one filter, bytes behind its end, and whether the end was met."""
    if name in ("LZWDecode", "LZW"):
        early = 0 if parameters.get("EarlyChange") == 0 else 1
        plain, whole = lzw_decoded(data, min(most, SLOW_BYTES), early=early)
        return plain, b"", whole
    step = _STEPS.get(name)
    if step is None:
        raise Damaged("a filter that this check does not know")
    return step(data, most)


def _flate(data: bytes, most: int) -> tuple[bytes, bytes, bool]:
    if not data.strip(b"\r\n"):
        return b"", b"", True
    engine = zlib.decompressobj()
    try:
        plain = engine.decompress(data, most + 1)
    except zlib.error:
        return _flate_as_far_as_it_goes(data, most), b"", False
    if len(plain) > most:
        raise OverLimit("a stream that inflates beyond the limit")
    return plain, engine.unused_data, engine.eof


def _flate_as_far_as_it_goes(data: bytes, most: int) -> bytes:
    """What comes before the damage, in steps small enough to keep the good part."""
    engine = zlib.decompressobj()
    parts: list[bytes] = []
    size = 0
    try:
        for start in range(0, len(data), 256):
            part = engine.decompress(data[start : start + 256], 1_000_000)
            parts.append(part)
            size += len(part)
            if size > most:
                break
    except zlib.error:
        pass
    return b"".join(parts)


def _ascii_hex(data: bytes, most: int) -> tuple[bytes, bytes, bool]:
    body, mark, tail = data.partition(b">")
    if _HEX_END.search(body):
        raise Damaged("letters that are no hexadecimal digits")
    digits = re.sub(rb"[^0-9A-Fa-f]", b"", body)
    plain = binascii.unhexlify(digits + b"0" * (len(digits) % 2))
    return _bounded(plain, most), tail, bool(mark)


def _ascii_85(data: bytes, most: int) -> tuple[bytes, bytes, bool]:
    body, mark, tail = data.partition(b"~>")
    body = body.strip().removeprefix(b"<~")
    try:
        plain = base64.a85decode(body, ignorechars=b" \t\n\r\x0b\x0c\0")
    except ValueError:
        raise Damaged("text that is no ASCII-85") from None
    return _bounded(plain, most), tail, bool(mark)


def _run_length(data: bytes, most: int) -> tuple[bytes, bytes, bool]:
    parts: list[bytes] = []
    at, size = 0, 0
    while at < len(data):
        length = data[at]
        if length == 128:
            return b"".join(parts), data[at + 1 :], True
        if length < 128:
            part, step = data[at + 1 : at + 2 + length], length + 2
        else:
            part, step = data[at + 1 : at + 2] * (257 - length), 2
        parts.append(part)
        size += len(part)
        at += step
        if size > most:
            raise OverLimit("a stream that unrolls beyond the limit")
    return b"".join(parts), b"", False


def _bounded(plain: bytes, most: int) -> bytes:
    if len(plain) > most:
        raise OverLimit("a stream that decodes beyond the limit")
    return plain


_STEPS: dict[str, Callable[[bytes, int], tuple[bytes, bytes, bool]]] = {
    "FlateDecode": _flate,
    "Fl": _flate,
    "ASCIIHexDecode": _ascii_hex,
    "AHx": _ascii_hex,
    "ASCII85Decode": _ascii_85,
    "A85": _ascii_85,
    "RunLengthDecode": _run_length,
    "RL": _run_length,
}
