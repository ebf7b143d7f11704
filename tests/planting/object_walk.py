"""Every key, name, string and decoded stream of a file, by pypdf and by its raw bytes."""

import contextlib
import io
import re
import zlib
from collections.abc import Iterator

import pypdf
from pypdf.generic import (
    ArrayObject,
    ByteStringObject,
    DictionaryObject,
    IndirectObject,
    NameObject,
    StreamObject,
    TextStringObject,
)

NINE = re.compile(r"9[^0-9A-Za-z]{0,2}8[^0-9A-Za-z]{0,2}7[^0-9A-Za-z]{0,2}6[^0-9A-Za-z]{0,2}5")

_STREAM = re.compile(rb"stream\r?\n(.*?)\r?\n?endstream", re.DOTALL)
_CODES = re.compile(rb"<((?:[0-9a-fA-F]{4}){9,})>")


def places_with_number(pdf: bytes) -> list[str]:
    """Where the first five digits of the planted number are to be found, in words."""
    found = [
        f"object {number}: {where}" for number, where, text in _texts(pdf) if NINE.search(text)
    ]
    if NINE.search(pdf.decode("latin-1")):
        found.append("raw bytes")
    if any(NINE.search(text) for text in _carved(pdf)):
        found.append("streams cut out of the raw bytes")
    return found


def _carved(pdf: bytes) -> Iterator[str]:
    """Deflated streams wherever they stand, led to or not."""
    for body in _STREAM.findall(pdf):
        with contextlib.suppress(zlib.error):
            yield zlib.decompress(body).decode("latin-1")


def _texts(pdf: bytes) -> Iterator[tuple[int, str, str]]:
    reader = pypdf.PdfReader(io.BytesIO(pdf), strict=False)
    for section in reader.xref.values():
        for number in section:
            yield from _safely(reader, number)
    for number in reader.xref_objStm:
        yield from _safely(reader, number)
    yield from ((0, where, text) for where, text in _inside(reader.trailer, "trailer", 0))


def _safely(reader: pypdf.PdfReader, number: int) -> Iterator[tuple[int, str, str]]:
    try:
        item = reader.get_object(number)
    except Exception:  # broken objects hold what the raw bytes hold
        return
    yield from ((number, where, text) for where, text in _inside(item, "", 0))


def _inside(item: object, where: str, depth: int) -> Iterator[tuple[str, str]]:
    if depth > 30 or isinstance(item, IndirectObject):
        return
    if isinstance(item, DictionaryObject):
        for key, value in item.items():
            yield f"{where} key", str(key)
            yield from _inside(value, f"{where}{key}", depth + 1)
    if isinstance(item, StreamObject):
        yield f"{where} data", _decoded(item)
    elif isinstance(item, ArrayObject):
        for value in item:
            yield from _inside(value, f"{where}[]", depth + 1)
    elif isinstance(item, NameObject):
        yield f"{where} name", str(item)
    elif isinstance(item, ByteStringObject):
        yield f"{where} string", bytes(item).decode("latin-1")
        yield f"{where} string", bytes(item).decode("utf-16-be", "ignore")
    elif isinstance(item, TextStringObject):
        yield f"{where} string", str(item)


def _decoded(item: StreamObject) -> str:
    try:
        data = item.get_data()
    except Exception:
        data = item._data
    text = bytes(data).decode("latin-1")
    raw = bytes(item._data).decode("latin-1")  # what a filter passes over stands there
    with contextlib.suppress(zlib.error):
        text += zlib.decompress(bytes(data)).decode("latin-1")
    for code in _CODES.findall(bytes(data)):
        text += bytes.fromhex(code.decode()).decode("utf-16-be", "ignore")
    return text + raw + bytes(data).decode("utf-16-be", "ignore")
