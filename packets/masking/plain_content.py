"""Content streams that are plain: nothing but operators that draw, each with its own operands.

Most pages of most producers are. Such a stream holds nothing that the rebuild
would leave out, so that it can be kept byte for byte without being taken apart;
one expression tells, at the cost of a copy. Whatever it does not know, from
marked content to a comment or a surplus operand, makes the stream not plain,
and it goes the long way (`content_streams`).
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass

_ROOM = rb"[ \n\r\t]{1,4}+"
_MAYBE_ROOM = rb"[ \n\r\t]{0,4}+"
_NUMBER = rb"[+-]?+(?:[0-9]++(?:\.[0-9]*+)?+|\.[0-9]++)"
_WORD = rb"[A-Za-z0-9_.+\-]++"
_NAME = rb"/" + _WORD
_LITERAL = rb"\((?:[^()\\]++|\\.)*+\)"
_HEX = rb"<[0-9A-Fa-f]*+>"
_STRING = rb"(?:" + _LITERAL + rb"|" + _HEX + rb")"
_ITEMS = rb"\[(?:[ \n\r\t]++|" + _NUMBER + rb"|" + _STRING + rb")*+\]"
_DASHES = rb"\[(?:[ \n\r\t]++|" + _NUMBER + rb")*+\]"
_END = rb"(?![^ \n\r\t\[(</])"
_NEXT = _NUMBER + _ROOM
_TINT = rb"|scn?|SCN?"


def _behind_numbers() -> bytes:
    """What may follow one number, two, three and so on: each number is read once."""
    four = rb"re|[kKvy]" + _TINT + rb"|" + _NEXT + _NEXT + rb"(?:Tm|cm?)"
    three = rb"RG|rg" + _TINT + rb"|" + _NEXT + rb"(?:" + four + rb")"
    shown = _STRING + _MAYBE_ROOM + rb'"'
    two = rb"[lm]|T[dD]" + _TINT + rb"|" + _NEXT + rb"(?:" + three + rb")|" + shown
    one = rb"[GgiJjMw]|T[cLrswz]" + _TINT + rb"|" + _NEXT + rb"(?:" + two + rb")"
    return _NEXT + rb"(?:" + one + rb")"


_OPERATION = rb"|".join(
    (
        _LITERAL + _MAYBE_ROOM + rb"(?:Tj|')",
        rb"T\*|BT|ET|B\*?|[qQSshn]",
        _NAME + _ROOM + rb"(?:" + _NEXT + rb"Tf|Do|gs|sh|cs|CS)",
        _ITEMS + _MAYBE_ROOM + rb"TJ",
        rb"f\*?|F|b\*?|W\*?",
        _HEX + _MAYBE_ROOM + rb"(?:Tj|')",
        _DASHES + _MAYBE_ROOM + _NEXT + rb"d",
        rb"/(?:AbsoluteColorimetric|RelativeColorimetric|Saturation|Perceptual)" + _ROOM + rb"ri",
        _behind_numbers(),
    )
)
"""Annex A of ISO 32000-2; what is told by its first byte comes first. Patterns and inline
pictures are not here: they are looked at one by one elsewhere."""
_ONE = _MAYBE_ROOM + rb"(?:" + _OPERATION + rb")" + _END
_ALL = re.compile(rb"(?:" + _ONE + rb")*+" + _MAYBE_ROOM, re.DOTALL)
_PART = 64
"""Operations that are taken apart at a time."""
_OF_A_PART = re.compile(rb"(?:" + _ONE + rb"){%d}+" % _PART, re.DOTALL)
_FIRST = re.compile(_ONE, re.DOTALL)
_NAMING = re.compile(
    _LITERAL + rb"|" + _HEX + rb"|"
    + rb"/(" + _WORD + rb")[ \n\r\t]++(Do|gs|sh|cs|CS|[^ \n\r\t]++[ \n\r\t]++Tf)" + _END,
    re.DOTALL,
)  # fmt: skip
"""Every way begins with a byte of its own, so that the engine passes over all others quickly."""


def _alone(first: bytes, rest: bytes = b"") -> bytes:
    """An operator that nothing is run together with."""
    return first + rb"(?<![^ \n\r\t\])>]" + first + rb")" + rest + _END


_STATE = re.compile(
    rb"|".join(
        (
            *(_LITERAL, _HEX, _alone(b"T", b"[fjJ]"), _alone(b"g", b"s")),
            *map(_alone, (b"q", b"Q", b"'", b'"')),
        )
    ),
    re.DOTALL,
)
_BLANKS = rb"[ \n\r\t]*+"
_PROPERTIES = rb"(?:<<(?:[^<>()]++|" + _STRING + rb")*+>>|" + _NAME + rb")"
_MARKS = re.compile(
    rb"|".join(
        (
            _alone(
                b"/",
                rb"(?:" + _WORD + _BLANKS + _PROPERTIES + _BLANKS + rb"(?:BDC|DP)|"
                + _WORD + rb"[ \n\r\t]++(?:BMC|MP))",
            ) + _BLANKS,
            _alone(b"E", b"MC") + _BLANKS,
            _LITERAL,
            _HEX,
        )
    ),
    re.DOTALL,
)  # fmt: skip


def without_marks(data: bytes) -> bytes:
    """A stream without the common marked content operators (14.6); what they mark stays."""
    if not any(word in data for word in (b"EMC", b"BMC", b"BDC", b"MP", b"DP")):
        return data
    kept, at = [], 0
    for found in _MARKS.finditer(data):
        begin = found.start()
        if data[begin] not in b"(<":
            kept.append(data[at:begin])
            at = found.end()
    return b"".join((*kept, data[at:]))


@dataclass(frozen=True)
class Naming:
    """A resource name and the operator that uses it."""

    name: str
    operator: str


def is_plain(data: bytes) -> bool:
    """Whether a stream holds operations of the plain kinds and nothing else."""
    found = _ALL.match(data)
    return found is not None and found.end() == len(data)


def namings(data: bytes) -> frozenset[Naming]:
    """Every use of a resource name in a plain stream."""
    return frozenset(
        Naming("/" + name.decode("ascii"), rest[-2:].decode("ascii"))
        for name, rest in set(_NAMING.findall(data))
        if name
    )


def sets_font_first(data: bytes) -> bool:
    """Whether a font is in force wherever a plain stream shows text."""
    fonts = [False]
    for found in _STATE.finditer(data):
        operator = found.group()
        if operator in (b"Tf", b"gs"):
            fonts[-1] = True
            if all(fonts):  # and so it stays, whatever is saved and restored
                return True
        elif operator == b"q":
            fonts.append(fonts[-1])
        elif operator == b"Q":
            if len(fonts) > 1:
                fonts.pop()
        elif not fonts[-1] and operator[:1] not in (b"(", b"<"):
            return False
    return True


def parts(data: bytes) -> Iterator[int]:
    """Where parts of a plain stream end that hold 64 operations each; the last is left out."""
    found = _OF_A_PART.match(data)
    while found is not None:
        yield found.end()
        found = _OF_A_PART.match(data, found.end())


def goes_on_plainly(head: bytes, rest: bytes) -> bool:
    """Whether `head` with `rest` behind it is plain; `rest` is plain, cut off between operations.

    Operations are told one by one, from left to right. So all of `rest` is told as it was
    before, once its first operation is.
    """
    found = _FIRST.match(rest)
    return is_plain(head + (rest[: found.end()] if found else rest))
