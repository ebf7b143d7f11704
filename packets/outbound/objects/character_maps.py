"""ToUnicode maps (ISO 32000-2, 9.10.3), as far as digits, dashes and spaces go."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from packets.outbound.objects.lexer import read_hex

_SECTION = re.compile(rb"begin(bfchar|bfrange)(.*?)end\1", re.DOTALL)
_HEX = rb"<([0-9A-Fa-f\x00\t\n\x0c\r ]{1,40}+)>"
_GAP = rb"[\x00\t\n\x0c\r ]{0,20}+"
_PAIR = re.compile(_HEX + _GAP + _HEX)
_RANGE = re.compile(_HEX + _GAP + _HEX + _GAP + rb"(?:" + _HEX + rb"|\[([^\]]{0,20000}+)\])")
_EACH = re.compile(_HEX)
_LONG_TARGET = re.compile(rb"<([0-9A-Fa-f\x00\t\n\x0c\r ]{20,4000}+)>")
_MOST_BYTES = 1_000_000
_WANTED = frozenset("0123456789-\u2010\u2011\u2012\u2013\u2014\u2212\u00ad \u00a0")


@dataclass(frozen=True)
class CharacterMap:
    """Codes of a font that stand for digits, dashes or spaces."""

    width: int
    """Bytes in a code: 1 or 2."""
    codes: dict[bytes, str]

    def read(self, data: bytes) -> str:
        """Shown bytes as text; codes that stand for something else become a mark."""
        step = self.width
        return "".join(
            [self.codes.get(data[at : at + step], "\x7f") for at in range(0, len(data), step)]
        )


def long_texts(body: bytes) -> tuple[str, ...]:
    """What single codes stand for in a map, where that is as long as a number."""
    targets = _LONG_TARGET.findall(body[:_MOST_BYTES])
    return tuple(dict.fromkeys(read_hex(code).decode("utf-16-be", "replace") for code in targets))


def single_targets(body: bytes) -> tuple[str, ...]:
    """The single characters that codes of a map stand for, as often as they are named."""
    return tuple(
        text
        for section in _SECTION.finditer(body[:_MOST_BYTES])
        if section[1] == b"bfchar"
        for pair in _PAIR.finditer(section[2])
        if len(text := read_hex(pair[2]).decode("utf-16-be", "replace")) == 1
    )


def one_byte_targets(body: bytes) -> Iterator[tuple[int, str]]:
    """What each code of one byte stands for."""
    for section in _SECTION.finditer(body[:_MOST_BYTES]):
        if section[1] == b"bfchar":
            for pair in _PAIR.finditer(section[2]):
                written = read_hex(pair[1])
                if len(written) == 1:
                    yield written[0], read_hex(pair[2]).decode("utf-16-be", "replace")
            continue
        for found in _RANGE.finditer(section[2]):
            low, high = read_hex(found[1]), read_hex(found[2])
            if len(low) != 1 or len(high) != 1:
                continue
            listed = _EACH.findall(found[4]) if found[4] is not None else []
            start = read_hex(found[3]).decode("utf-16-be", "replace") if found[3] else ""
            for offset, code in enumerate(range(low[0], high[0] + 1)):
                if offset < len(listed):
                    yield code, read_hex(listed[offset]).decode("utf-16-be", "replace")
                elif start:
                    yield code, start[:-1] + chr(ord(start[-1]) + offset)


def character_map(body: bytes) -> CharacterMap | None:
    """The map in a decoded ToUnicode stream; None where it names no digit."""
    body = body[:_MOST_BYTES]
    codes: dict[bytes, str] = {}
    for section in _SECTION.finditer(body):
        if section[1] == b"bfchar":
            for pair in _PAIR.finditer(section[2]):
                _add(codes, read_hex(pair[1]), pair[2])
        else:
            for found in _RANGE.finditer(section[2]):
                _add_range(codes, found)
    digits = {code: char for code, char in codes.items() if char in _WANTED}
    if not any(char.isdigit() for char in digits.values()):
        return None
    width = max(len(code) for code in digits)
    return CharacterMap(width, digits) if width in (1, 2) else None


def _add(codes: dict[bytes, str], code: bytes, target: bytes) -> None:
    codes[code] = read_hex(target).decode("utf-16-be", "replace")


def _add_range(codes: dict[bytes, str], found: re.Match[bytes]) -> None:
    low, high = read_hex(found[1]), read_hex(found[2])
    first, count = int.from_bytes(low), int.from_bytes(high) - int.from_bytes(low) + 1
    if not 0 < count <= 65_536 or len(low) > 2:
        return
    if found[4] is not None:
        for offset, target in zip(range(count), _EACH.findall(found[4]), strict=False):
            _add(codes, (first + offset).to_bytes(len(low)), target)
        return
    start = read_hex(found[3]).decode("utf-16-be", "replace")
    if len(start) == 1:
        for offset in range(min(count, 65_536 - first)):
            char = chr(min(ord(start) + offset, 0x10FFFF))
            if char in _WANTED:
                codes[(first + offset).to_bytes(len(low))] = char
