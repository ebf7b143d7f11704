"""The strings that a content stream shows, whether or not the stream is ever drawn."""

import re
from typing import NamedTuple

from packets.base.errors import Damaged
from packets.outbound.objects.lexer import read_hex, read_value

_SHOW = re.compile(rb"[\])>][\x00\t\n\x0c\r ]{0,20}+(?:T[jJ]|['\"]|BDC|DP)(?![0-9A-Za-z])")
_DRAWN = re.compile(rb"[0-9] (?:m|l|c|v|y|re|cm|w|h|d|rg|RG|g|G|k|K|scn|SCN)[\x00\t\n\x0c\r ]")
_PART = re.compile(
    rb"\((?P<plain>[^()\\\r]*+)\)"
    rb"|(?P<literal>\()"
    rb"|<(?P<hex>[0-9A-Fa-f\x00\t\n\x0c\r ]*+)>"
    rb"|(?P<close>\])"
    rb"|(?P<comment>%[^\r\n]*+)"
    rb"|(?P<picture>\bBI(?=[\x00\t\n\x0c\r /]))"
    rb"|(?P<array>\[)"
)
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
    at, in_array, picture_ends = 0, False, True
    while (part := _PART.search(data, at)) is not None:
        at = part.end()
        kind = part.lastgroup
        if kind == "comment":
            comments.append(part["comment"])
        elif kind in ("array", "close"):
            in_array = kind == "array"
            lines.append(b"")
        elif kind == "picture":
            end = _PICTURE_END.search(data, at) if picture_ends else None
            picture_ends = end is not None
            at = end.end() if end is not None else at
        else:
            text, at = _string(data, part, at)
            lines[-1] += text
            if not in_array:
                lines.append(b"")
    codes = tuple(line for line in lines if line)
    kept = [_readable(line) for line in codes]
    said = b"\n".join(comments).decode("latin-1")
    return Shown("\n".join(kept), "".join(kept), said, codes)


def _readable(line: bytes) -> str:
    """Shown bytes by their own values; a replacement text in UTF-16 by its mark (14.9.4)."""
    if line[:2] == b"\xfe\xff":
        return line.decode("utf-16", "replace")
    return line.replace(b"\0", b"").decode("latin-1")


def _string(data: bytes, part: re.Match[bytes], at: int) -> tuple[bytes, int]:
    if part.lastgroup == "plain":
        return part["plain"], at
    if part.lastgroup == "hex":
        return read_hex(part["hex"]), at
    try:
        value, end = read_value(data, part.start())
    except Damaged:
        return b"", at
    return (value if isinstance(value, bytes) else b""), end
