"""Texts of every sort: JSON by its members, markup by its elements, tables, plain words."""

import base64
import binascii
import contextlib
import json
import re
from collections.abc import Iterator
from decimal import Decimal, InvalidOperation
from pathlib import PurePath

from packets.base.errors import OverLimit
from packets.outbound.carriers.found import Budget, Finding, Part, Sort, Text, Unread
from packets.outbound.carriers.markup import read_markup_text
from packets.outbound.objects.strings import texts_of

PLACE = "text of the file"
DIGEST = re.compile(r"(?<![0-9A-Za-z])(?:[0-9a-f]{32}|[0-9a-f]{40}|[0-9a-f]{64})(?![0-9A-Za-z])")
"""A checksum in hexadecimal: nine of its digits in a row mean nothing."""
UUID = re.compile(
    r"(?<![0-9A-Za-z])[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}(?![0-9a-f])",
    re.IGNORECASE,
)
BASE64 = re.compile(r"(?:[A-Za-z0-9+/]{40,}+\s{0,4})++[A-Za-z0-9+/]{0,76}={0,2}")
LONG_WORD = re.compile(r"(?<![A-Za-z0-9+/])(?=\d*[A-Za-z+/])[A-Za-z0-9+/]{40,}={0,2}")
"""What is left out of the hunt as Base64: never a word of digits, nor one that stands behind."""
_SCIENTIFIC = re.compile(r"(?<![\w.])\d(?:\.\d{1,17})?[eE]\+?\d{1,2}(?![\w.])")
_SHORT_CELL = re.compile(r"(?<![\w.])\d{5,8}(?![\w.])")
_MARKUP = re.compile(r"[\ufeff\s]*<[A-Za-z_?!]")
_DECLARED = re.compile(rb"(?:charset|encoding)\s*=\s*[\"']?([\w.:-]{2,40})")
_ARMOUR = re.compile(r"^(?:begin [0-7]{3,4} \S|=ybegin |-----BEGIN (?!CERT|PUBLIC))", re.MULTILINE)
_TABLES = frozenset({".csv", ".tsv", ".tab"})
_WHOLE = 16 * 1024 * 1024
"""Letters of a text that are hunted in at a time; a longer one goes in windows that overlap."""
_OVERLAP = 64 * 1024


def read_text(data: bytes, name: str, budget: Budget, charset: str = "") -> Finding:
    """A text in every reasonable decoding, and what lies in it as Base64."""
    if len(data) > budget.text:
        raise OverLimit("a text longer than this program promises to read")
    readings = list(texts_of(data))
    for declared in filter(None, {charset, _declared(data)}):
        try:
            readings.append(data.decode(declared, "replace"))
        except (LookupError, UnicodeError, ValueError, AttributeError, TypeError):
            yield Unread("a text in an alphabet that is not known here")
    is_table = PurePath(name).suffix.lower() in _TABLES
    seen: set[str] = set()
    for text in dict.fromkeys(readings):
        members = json_members(text)
        if members is not None:
            yield from _members(members)
            continue
        yield from _guesses(text, seen, budget)
        words = UUID.sub("\n", DIGEST.sub("\n", LONG_WORD.sub("\n", text)))
        if _ARMOUR.search(text):
            yield Unread("a file that lies in this text in a coding that is not read here")
        if _MARKUP.match(text):
            yield from read_markup_text(words)
        else:
            yield from _windows(words)
        yield Text(PLACE, "\n".join(_written_out(words)))
        if is_table:
            yield Text(PLACE, padded(_SHORT_CELL.findall(words)), Sort.DIGITS)


def padded(cells: "list[str]") -> str:
    """Short whole numbers as they were before a spreadsheet took the zeros at their front."""
    return "x".join(cell.zfill(9) for cell in cells)


def _declared(data: bytes) -> str:
    found = _DECLARED.search(data[:1024])
    word = found[1].decode("ascii").lower() if found else ""
    return "" if word in ("utf-8", "us-ascii", "ascii", "utf8") else word


def _windows(text: str) -> Iterator[Text]:
    step = _WHOLE - _OVERLAP
    for at in range(0, max(1, len(text) - _OVERLAP), step):
        yield Text(PLACE, text[at : at + _WHOLE])


def _guesses(text: str, seen: set[str], budget: Budget) -> Iterator[Part]:
    for run in BASE64.finditer(text):
        letters = "".join(run[0].split()).rstrip("=")
        letters = letters[: len(letters) - (len(letters) % 4 == 1)]
        if letters in seen or DIGEST.fullmatch(letters):
            continue
        seen.add(letters)
        with contextlib.suppress(binascii.Error):
            data = base64.b64decode(letters + "=" * (-len(letters) % 4))
            budget.take(len(data))
            yield Part("a file in Base64", data, is_guess=True)


def _written_out(text: str) -> Iterator[str]:
    """Numbers in scientific notation, written out: `9.8765432E+08`."""
    for found in _SCIENTIFIC.findall(text):
        with contextlib.suppress(InvalidOperation, ValueError):
            number = Decimal(found)
            if number < 10**19 and number == number.to_integral_value():
                yield str(int(number))


def json_members(text: str) -> "list[tuple[str, object]] | None":
    """Each member of a JSON document with its key; None for a text that is no JSON."""
    if text.lstrip("\ufeff \t\r\n")[:1] not in ("{", "[") or len(text) > _WHOLE:
        return None
    try:
        waiting: list[tuple[str, object]] = [("", json.loads(text.lstrip("\ufeff")))]
    except (ValueError, RecursionError):
        return None
    members: list[tuple[str, object]] = []
    while waiting:
        key, value = waiting.pop()
        if isinstance(value, dict):
            members += [("", name) for name in value]
            waiting += value.items()
        elif isinstance(value, list):
            waiting += [(key, item) for item in value]
        else:
            members.append((key, value))
    return members


def _members(members: "list[tuple[str, object]]") -> Finding:
    """A string may be a bare number; a number may be a size, unless its key says otherwise."""
    strings: list[str] = []
    numbers: list[str] = []
    for key, value in members:
        if isinstance(value, str):
            if _MARKUP.match(value):
                yield from read_markup_text(value)
            yield from _long_string(value)
            strings.append(DIGEST.sub(" ", UUID.sub(" ", value)))
        elif isinstance(value, float) and value.is_integer():
            numbers.append(f"{key}: {int(value)}")
        else:
            numbers.append(f"{key}: {value}")
    yield from (Text(PLACE, each) for each in strings)
    yield Text(PLACE, "\n".join(strings), Sort.JOINED)
    yield from (Text(PLACE, each, Sort.HIDDEN) for each in numbers)


def _long_string(value: str) -> Iterator[Part]:
    if len(value) >= 40 and BASE64.fullmatch(value) and not DIGEST.fullmatch(value):
        with contextlib.suppress(binascii.Error, ValueError):
            yield Part("a file in Base64", base64.b64decode(value), is_guess=True)
