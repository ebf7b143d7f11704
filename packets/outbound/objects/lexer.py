"""Reading one PDF object from bytes (ISO 32000-2, 7.2 and 7.3), without recursion.

Every pattern is written with possessive or bounded repeats, so that no input
makes it run longer than a small multiple of its length.
"""

import re

from packets.base.errors import Damaged
from packets.outbound.objects.values import Name, Ref, Value

SPACE = rb"[\x00\t\n\x0c\r ]"
REGULAR = rb"[^\x00\t\n\x0c\r ()<>\[\]{}/%]"

_TOKEN = re.compile(
    rb"(?:[\x00\t\n\x0c\r ]++|%[^\r\n]*+)*+(?:"
    rb"/(?P<name>" + REGULAR + rb"*+)"
    rb"|(?P<ref>\d{1,10}" + SPACE + rb"{1,9}\d{1,5}" + SPACE + rb"{1,9}R)(?!" + REGULAR + rb")"
    rb"|(?P<number>[+-]{0,3}(?:\d++\.?\d*+|\.\d++))(?!" + REGULAR + rb")"
    rb"|(?P<mark><<|>>|[\[\]])"
    rb"|<(?P<hex>[^<>]*+)>"
    rb"|(?P<literal>\()"
    rb"|(?P<word>" + REGULAR + rb"++))"
)
_PLAIN = re.compile(rb"[^()\\\r]*+\)")
_SPECIAL = re.compile(rb"[()\\]")
_ESCAPE = re.compile(rb"\\([0-7]{1,3}|\r\n|[\s\S])|\r\n?")
_HASH = re.compile(r"#([0-9A-Fa-f]{2})")
_NOT_HEX = re.compile(rb"[^0-9A-Fa-f]")
_WORDS: dict[bytes, Value] = {b"true": True, b"false": False, b"null": None}
_LETTERS = {b"n": b"\n", b"r": b"\r", b"t": b"\t", b"b": b"\b", b"f": b"\f"}


class _Open:
    """A list or dictionary that is not closed yet."""

    __slots__ = ("is_dict", "items")

    def __init__(self, is_dict: bool) -> None:
        self.items: list[Value] = []
        self.is_dict = is_dict


def read_value(
    data: bytes, at: int, *, nesting: int = 50, spare: list[Value] | None = None
) -> tuple[Value, int]:
    """The object that starts at or after `at`, and the place behind it.

    Values of repeated dictionary keys go to `spare`. Raises Damaged for bytes
    that are no object or nest deeper than `nesting`.
    """
    hidden = spare if spare is not None else []
    stack: list[_Open] = []
    while True:
        token = _TOKEN.match(data, at)
        if token is None:
            raise Damaged("bytes that are no PDF object")
        at = token.end()
        kind = token.lastgroup
        if kind == "mark" and token["mark"] in (b"<<", b"["):
            if len(stack) >= nesting:
                raise Damaged("objects nested too deep")
            stack.append(_Open(token["mark"] == b"<<"))
            continue
        if kind == "mark":
            value = _closed(stack, token["mark"], hidden)
        elif kind == "literal":
            value, at = _literal(data, at)
        else:
            value = _scalar(kind, token)
        if not stack:
            return value, at
        stack[-1].items.append(value)


def _scalar(kind: str | None, token: re.Match[bytes]) -> Value:
    if kind == "name":
        return read_name(token["name"])
    if kind == "ref":
        number, generation, _ = token["ref"].replace(b"\0", b" ").split()
        return Ref(int(number), int(generation))
    if kind == "number":
        return _number(token["number"])
    if kind == "hex":
        return read_hex(token["hex"])
    word = token["word"]
    if word not in _WORDS:
        raise Damaged("a word that is no PDF object")
    return _WORDS[word]


def _closed(stack: list[_Open], mark: bytes, hidden: list[Value]) -> Value:
    if not stack or stack[-1].is_dict != (mark == b">>"):
        raise Damaged("brackets that do not match")
    done = stack.pop()
    if not done.is_dict:
        return done.items
    if len(done.items) % 2:
        raise Damaged("a dictionary key without a value")
    entries: dict[str, Value] = {}
    for key, value in zip(done.items[::2], done.items[1::2], strict=True):
        if not isinstance(key, Name):
            raise Damaged("a dictionary key that is no name")
        if key in entries:
            hidden.append(entries[key])
        entries[key] = value
    return entries


def read_name(body: bytes) -> Name:
    """A name from the bytes behind its slash."""
    text = body.decode("latin-1")
    if "#" in text:
        text = _HASH.sub(lambda match: chr(int(match[1], 16)), text)
    return Name(text)


def read_hex(body: bytes) -> bytes:
    """A hexadecimal string; a missing last digit counts as zero, as the standard says."""
    digits = _NOT_HEX.sub(b"", body)
    return bytes.fromhex((digits + b"0" * (len(digits) % 2)).decode("ascii"))


def _number(body: bytes) -> Value:
    if b"." in body:
        return float(body.lstrip(b"+-") or b"0") * (-1 if body.startswith(b"-") else 1)
    sign = -1 if body.startswith(b"-") else 1
    digits = body.lstrip(b"+-")
    return sign * int(digits) if len(digits) <= 20 else 0


def _literal(data: bytes, at: int) -> tuple[bytes, int]:
    """A literal string from behind its opening parenthesis."""
    plain = _PLAIN.match(data, at)
    if plain is not None:
        return data[at : plain.end() - 1], plain.end()
    start, depth = at, 1
    while depth:
        special = _SPECIAL.search(data, at)
        if special is None:
            raise Damaged("a string without an end")
        at = special.end()
        if special[0] == b"\\":
            at += 1
        else:
            depth += 1 if special[0] == b"(" else -1
    return unescape(data[start : at - 1]), at


def unescape(body: bytes) -> bytes:
    """The bytes of a literal string, its escapes resolved (7.3.4.2)."""
    if b"\\" not in body and b"\r" not in body:
        return body
    return _ESCAPE.sub(_escaped, body)


def _escaped(match: re.Match[bytes]) -> bytes:
    escape = match[1]
    if escape is None:
        return b"\n"
    if escape[:1] in b"01234567" and escape[0] < 0x38:
        return bytes([int(escape, 8) & 0xFF])
    if escape in (b"\n", b"\r", b"\r\n"):
        return b""
    return _LETTERS.get(escape, escape)
