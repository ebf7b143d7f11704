"""Strings taken apart into character codes, and maps from codes to what they stand for.

ISO 32000-2, 9.7.5 and 9.10.3. Codes are told by their number; how many bytes
each has follows from the font, or stands in the map.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

_SECTION = re.compile(
    rb"begin(codespacerange|bfchar|bfrange|cidchar|cidrange)(.*?)end\1", re.DOTALL
)
_TOKEN = re.compile(rb"<([0-9A-Fa-f\s]*)>|(\[)|(\])|([0-9]+)")
_LARGEST_MAP = 70_000
_MOST_IN_SECTION = 100

Token = bytes | str | int


class UnknownCodes(Exception):
    """A map is not of a form that can be followed."""


@dataclass(frozen=True)
class CodeSpace:
    """How strings are taken apart: codes of one length, or ranges of several lengths."""

    length: int
    ranges: tuple[tuple[bytes, bytes], ...] = ()

    def codes(self, text: bytes) -> Iterator[bytes]:
        """Each code of a string."""
        if not self.ranges:
            for at in range(0, len(text), self.length):
                yield text[at : at + self.length]
            return
        at = 0
        while at < len(text):
            step = self._length_at(text, at)
            yield text[at : at + step]
            at += step

    def _length_at(self, text: bytes, at: int) -> int:
        for low, high in self.ranges:
            code = text[at : at + len(low)]
            pairs = zip(code, low, high, strict=False)
            if len(code) == len(low) and all(b <= a <= c for a, b, c in pairs):
                return len(low)
        return min(len(low) for low, _ in self.ranges)

    def numbers(self, text: bytes) -> set[int]:
        """The codes of a string by their numbers."""
        if not self.ranges and self.length == 1:
            return set(text)
        return {int.from_bytes(code, "big") for code in self.codes(text)}

    def moved(self, text: bytes, moves: Mapping[int, int]) -> bytes:
        """The string with other codes of the same lengths."""
        return b"".join(
            moves.get(number, number).to_bytes(len(code), "big")
            for code in self.codes(text)
            for number in [int.from_bytes(code, "big")]
        )


@dataclass(frozen=True)
class Mapped:
    """What a code stands for, in UTF-16, and the length that the map gives the code."""

    length: int
    utf16: bytes

    @property
    def text(self) -> str:
        return self.utf16.decode("utf-16-be", "replace")


def read_unicode_map(data: bytes) -> dict[int, Mapped]:
    """A ToUnicode CMap. Raises `UnknownCodes`."""
    found: dict[int, Mapped] = {}
    for kind, body in _SECTION.findall(data):
        tokens = list(_tokens(body))
        if kind == b"bfchar":
            for code, text in zip(tokens[::2], tokens[1::2], strict=False):
                if isinstance(code, bytes) and isinstance(text, bytes):
                    found[_number(code)] = Mapped(len(code), text)
        elif kind == b"bfrange":
            _add_ranges(tokens, found)
    return found


def _add_ranges(tokens: list[Token], found: dict[int, Mapped]) -> None:
    at = 0
    while at + 2 < len(tokens):
        low, high, target = tokens[at : at + 3]
        if not isinstance(low, bytes) or not isinstance(high, bytes):
            raise UnknownCodes
        codes = range(_number(low), _number(high) + 1)
        if len(codes) + len(found) > _LARGEST_MAP:
            raise UnknownCodes
        at += 3
        if target == "[":
            end = tokens.index("]", at) if "]" in tokens[at:] else len(tokens)
            for code, text in zip(codes, tokens[at:end], strict=False):
                if isinstance(text, bytes):
                    found[code] = Mapped(len(low), text)
            at = end + 1
        elif isinstance(target, bytes):
            for k, code in enumerate(codes):
                found[code] = Mapped(len(low), _plus(target, k))


def _plus(text: bytes, k: int) -> bytes:
    """The last unit of the text counted on."""
    size = min(2, len(text))
    last = (int.from_bytes(text[-size:], "big") + k) % (1 << 8 * size) if size else 0
    return text[: len(text) - size] + last.to_bytes(size, "big") if size else b""


def write_unicode_map(codes: Mapping[int, Mapped], space: CodeSpace) -> bytes:
    """A ToUnicode CMap, in the order of the codes."""
    spaces = space.ranges or ((b"\0" * space.length, b"\xff" * space.length),)
    out = [
        b"/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n/CMapType 2 def",
        b"%d begincodespacerange" % len(spaces),
        *(b"<%s> <%s>" % (_hex(low), _hex(high)) for low, high in spaces),
        b"endcodespacerange",
    ]
    listed = sorted(codes.items())
    for start in range(0, len(listed), _MOST_IN_SECTION):
        part = listed[start : start + _MOST_IN_SECTION]
        out.append(b"%d beginbfchar" % len(part))
        for code, mapped in part:
            out.append(
                b"<%s> <%s>" % (_hex(code.to_bytes(mapped.length, "big")), _hex(mapped.utf16))
            )
        out.append(b"endbfchar")
    out.append(b"endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n")
    return b"\n".join(out)


def read_code_map(data: bytes) -> tuple[CodeSpace, dict[int, int]]:
    """An embedded CMap as encoding: its codes, and the CID of each. Raises `UnknownCodes`."""
    spaces: list[tuple[bytes, bytes]] = []
    cids: dict[int, int] = {}
    for kind, body in _SECTION.findall(data):
        tokens = list(_tokens(body))
        if kind == b"codespacerange":
            pairs = zip(tokens[::2], tokens[1::2], strict=False)
            spaces += [(a, b) for a, b in pairs if isinstance(a, bytes) and isinstance(b, bytes)]
        elif kind == b"cidchar":
            for code, cid in zip(tokens[::2], tokens[1::2], strict=False):
                if isinstance(code, bytes) and isinstance(cid, int):
                    cids[_number(code)] = cid
        elif kind == b"cidrange":
            _add_cid_ranges(tokens, cids)
    if not spaces or any(not low for low, _ in spaces):
        raise UnknownCodes
    return CodeSpace(0, tuple(spaces)), cids


def _add_cid_ranges(tokens: list[Token], cids: dict[int, int]) -> None:
    for low, high, cid in zip(tokens[::3], tokens[1::3], tokens[2::3], strict=False):
        if not (isinstance(low, bytes) and isinstance(high, bytes) and isinstance(cid, int)):
            raise UnknownCodes
        codes = range(_number(low), _number(high) + 1)
        if len(codes) + len(cids) > _LARGEST_MAP:
            raise UnknownCodes
        cids.update((code, cid + k) for k, code in enumerate(codes))


def _tokens(body: bytes) -> Iterator[Token]:
    for digits, opening, closing, number in _TOKEN.findall(body):
        if opening or closing:
            yield (opening or closing).decode()
        elif number:
            yield int(number)
        else:
            text = b"".join(digits.split())
            yield bytes.fromhex((text + b"0" * (len(text) % 2)).decode())


def told(text: str) -> str:
    """The text, unless it only says that nobody knows: no characters of private use or control."""
    return "" if any(map(_is_untold, text)) else text


def _is_untold(char: str) -> bool:
    return char == "\ufffd" or char < " " or "\ue000" <= char <= "\uf8ff"


def _number(code: bytes) -> int:
    return int.from_bytes(code, "big")


def _hex(data: bytes) -> bytes:
    return data.hex().encode()
