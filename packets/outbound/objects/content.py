"""The strings that a content stream shows, whether or not the stream is ever drawn."""

import re
from typing import NamedTuple

from packets.base.errors import Damaged
from packets.outbound.objects.lexer import read_hex, read_value

_SHOW = re.compile(rb"[\])>][\x00\t\n\x0c\r ]{0,20}+(?:T[jJ]|['\"]|BDC|DP)(?![0-9A-Za-z])")
_DRAWN = re.compile(rb"[0-9] (?:m|l|c|v|y|re|cm|w|h|d|rg|RG|g|G|k|K|scn|SCN)[\x00\t\n\x0c\r ]")
_PART = re.compile(
    rb"[(<\]%B\[](?:"
    rb"(?<=\()(?P<plain>[^()\\\r]*+)\)"
    rb"|(?<=\()(?P<literal>)"
    rb"|(?<=<)(?P<hex>[0-9A-Fa-f\x00\t\n\x0c\r ]*+)>"
    rb"|(?<=\])(?P<close>)"
    rb"|(?<=%)(?P<comment>[^\r\n]*+)"
    rb"|(?<=\bB)(?P<picture>I(?=[\x00\t\n\x0c\r /]))"
    rb"|(?<=\[)(?P<array>))"
)
"""Begins with one class of bytes, which the engine seeks five times faster than alternatives."""
_PICTURE_END = re.compile(rb"[\x00\t\n\x0c\r ]EI(?=[\x00\t\n\x0c\r ]|$)")


def is_drawing(data: bytes) -> bool:
    """Whether bytes are a content stream that draws: operands in front of operators."""
    return sum(1 for _ in zip(_DRAWN.finditer(data), range(3), strict=False)) == 3


class Shown(NamedTuple):
    """What a stream shows."""

    lines: str
    """Strings of one array run together, each array or string on a line of its own."""
    joined: str
    """All strings run together."""
    comments: str
    codes: tuple[bytes, ...]
    """The same as `lines`, as the bytes that a font turns into letters."""


def shown_in(data: bytes) -> Shown | None:
    """The shown strings of a content stream; None for bytes that show no text."""
    if not _SHOW.search(data):
        return None
    lines: list[bytes] = [b""]
    comments: list[bytes] = []
    in_array, picture_ends = False, True
    parts = _PART.finditer(data)
    while (part := next(parts, None)) is not None:
        kind = part.lastgroup
        if kind == "plain":
            lines[-1] += part[1]
            if not in_array:
                lines.append(b"")
        elif kind in ("hex", "literal"):
            text, end = _string(data, part)
            if end is not None:
                parts = _PART.finditer(data, end)
            lines[-1] += text
            if not in_array:
                lines.append(b"")
        elif kind == "comment":
            comments.append(part[0])
        elif kind == "picture":
            ends = _PICTURE_END.search(data, part.end()) if picture_ends else None
            picture_ends = ends is not None
            if ends is not None:
                parts = _PART.finditer(data, ends.end())
        else:
            in_array = kind == "array"
            lines.append(b"")
    return _shown(tuple(line for line in lines if line), b"\n".join(comments))


def _shown(codes: tuple[bytes, ...], comments: bytes) -> Shown:
    said = comments.decode("latin-1")
    together = b"\n".join(codes)
    if b"\xfe\xff" in together:
        kept = [_readable(line) for line in codes]
        return Shown("\n".join(kept), "".join(kept), said, codes)
    return Shown(_as_they_are(together), _as_they_are(b"".join(codes)), said, codes)


def _readable(line: bytes) -> str:
    """Shown bytes by their own values; a replacement text in UTF-16 by its mark (14.9.4)."""
    return line.decode("utf-16", "replace") if line[:2] == b"\xfe\xff" else _as_they_are(line)


def _as_they_are(shown: bytes) -> str:
    return shown.replace(b"\0", b"").decode("latin-1")


def _string(data: bytes, part: re.Match[bytes]) -> tuple[bytes, int | None]:
    """A string that is not plain, and the place behind it where the part does not end there."""
    if part.lastgroup == "hex":
        return read_hex(part["hex"]), None
    try:
        value, end = read_value(data, part.start())
    except Damaged:
        return b"", None
    return (value if isinstance(value, bytes) else b""), end
