"""What the bytes of a PDF string may say (ISO 32000-2, 7.9.2)."""

import contextlib
import html
import re
import urllib.parse

from packets.outbound.objects.values import FileObject, Name, Value

_PDFDOC = str.maketrans(
    {0x84: "\u2014", 0x85: "\u2013", 0x8A: "\u2212", 0x80: "\u2022", 0xAD: "\u00ad"}
)
"""The characters of PDFDocEncoding that matter here and differ from Latin-1."""
_PRINTABLE = bytes([9, 10, 12, 13, *range(24, 127), *range(128, 256)])
_DATE = re.compile(
    rb"(?:D:)?(?:19|20)\d\d(?:[01]\d(?:[0-3]\d(?:[0-2]\d(?:[0-6]\d(?:[0-6]\d)?)?)?)?)?(?:[Zz+-](?:\d\d'?(?:\d\d'?)?)?)?"
)

_PERCENT = re.compile(r"%[0-9A-Fa-f]{2}")
_NUMBERS = (int, float)


def texts_of(data: bytes) -> tuple[str, ...]:
    """Every reasonable reading of a string's bytes, the likeliest first.

    Addresses write characters as percent signs with two digits (RFC 3986, 2.1), markup
    writes them as references (XML 1.0, 4.1).
    """
    texts = _decoded(data)
    unquoted = [urllib.parse.unquote(text) for text in texts if _PERCENT.search(text)]
    unescaped = [html.unescape(text) for text in texts if "&#" in text]
    return (*texts, *unquoted, *unescaped)


def _decoded(data: bytes) -> tuple[str, ...]:
    if data.isascii() and b"\0" not in data:
        return (data.decode("ascii"),)
    if data[:2] in (b"\xfe\xff", b"\xff\xfe"):
        return (data.decode("utf-16", "replace"),)
    readings = [data.decode("latin-1").translate(_PDFDOC)]
    if b"\0" in data:
        readings += [data.decode("utf-16-be", "replace"), data.decode("utf-16-le", "replace")]
    with contextlib.suppress(UnicodeDecodeError):
        readings.append(data.removeprefix(b"\xef\xbb\xbf").decode("utf-8"))
    return tuple(dict.fromkeys(readings))


def is_text(data: bytes) -> bool:
    """Whether bytes look like a text in some encoding, not like numbers or a cipher."""
    if not data or data[:2] in (b"\xfe\xff", b"\xff\xfe"):
        return True
    zeros = data.count(0)
    odd = len(data.translate(None, _PRINTABLE)) - zeros
    return odd * 50 <= len(data) and (not zeros or zeros * 5 >= 2 * len(data))


def is_date(data: bytes) -> bool:
    """Whether a string is a date (7.9.4) and nothing else."""
    return _DATE.fullmatch(data) is not None


def strings_and_names(found: FileObject) -> tuple[list[tuple[str, bytes]], set[str]]:
    """Every string of an object with the dictionary key it stands under, in file order.

    And every name and dictionary key of the object.
    """
    strings: list[tuple[str, bytes]] = []
    names: set[str] = {""}
    waiting: list[tuple[str, Value]] = [("", part) for part in (*found.spare[::-1], found.value)]
    while waiting:
        key, value = waiting.pop()
        if isinstance(value, dict):
            names.update(value)
            waiting += list(value.items())[::-1]
        elif isinstance(value, list):
            waiting += [(key, item) for item in value[::-1] if type(item) not in _NUMBERS]
        elif isinstance(value, bytes):
            strings.append((key, value))
        elif isinstance(value, Name):
            names.add(value)
    return strings, names
