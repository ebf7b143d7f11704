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

_ROOM = rb"[ \n\r\t]{1,4}"
_MAYBE_ROOM = rb"[ \n\r\t]{0,4}"
_NUMBER = rb"[+-]?+(?:[0-9]++(?:\.[0-9]*+)?+|\.[0-9]++)"
_NAME = rb"/[A-Za-z0-9_.+\-]++"
_LITERAL = rb"\((?:[^()\\]++|\\.)*+\)"
_STRING = rb"(?:" + _LITERAL + rb"|<[0-9A-Fa-f]*+>)"
_ITEMS = rb"\[(?:[ \n\r\t]{1,4}|" + _NUMBER + rb"|" + _STRING + rb")*+\]"
_DASHES = rb"\[(?:[ \n\r\t]{1,4}|" + _NUMBER + rb")*+\]"
_END = rb"(?=[ \n\r\t\[(</]|\Z)"


def _numbers(count: int) -> bytes:
    return rb"(?:" + _NUMBER + _ROOM + rb"){%d}" % count


_OPERATION = rb"|".join(
    rb"(?:" + operands + operator + rb")" + _END
    for operands, operator in (
        (_numbers(2), rb"(?:T[dD]|[lm])"),
        (_numbers(1), rb"(?:[GgiJjMw]|T[cLrswz])"),
        (_STRING + _MAYBE_ROOM, rb"(?:Tj|')"),
        (_ITEMS + _MAYBE_ROOM, rb"TJ"),
        (_numbers(4), rb"(?:re|[kKvy])"),
        (_numbers(6), rb"(?:cm|Tm|c)"),
        (_numbers(3), rb"(?:RG|rg)"),
        (_NAME + _ROOM + _NUMBER + _ROOM, rb"Tf"),
        (rb"", rb"(?:BT|ET|T\*|[qQSshn]|f\*?|F|b\*?|B\*?|W\*?)"),
        (_NAME + _ROOM, rb"(?:Do|gs|sh|cs|CS)"),
        (rb"/(?:AbsoluteColorimetric|RelativeColorimetric|Saturation|Perceptual)" + _ROOM, rb"ri"),
        (rb"(?:" + _NUMBER + _ROOM + rb"){1,4}", rb"(?:scn?|SCN?)"),
        (_DASHES + _MAYBE_ROOM + _NUMBER + _ROOM, rb"d"),
        (_numbers(2) + _STRING + _MAYBE_ROOM, rb'"'),
    )
)
"""Annex A of ISO 32000-2, the commonest first. Patterns and inline pictures are not here: they
are looked at one by one elsewhere."""
_ONE = re.compile(_MAYBE_ROOM + rb"(?:" + _OPERATION + rb")", re.DOTALL)
_ALL = re.compile(rb"(?:" + _MAYBE_ROOM + rb"(?:" + _OPERATION + rb"))*+" + _MAYBE_ROOM, re.DOTALL)
_NAMING = re.compile(
    _STRING + rb"|(" + _NAME + rb")[ \n\r\t]+(Do|gs|sh|cs|CS|[^ \n\r\t]+[ \n\r\t]+Tf)" + _END,
    re.DOTALL,
)
_STATE = re.compile(_STRING + rb"|(?<![^ \n\r\t\])>])(Tf|gs|q|Q|Tj|TJ|'|\")" + _END, re.DOTALL)
_MARKS = re.compile(
    rb"(" + _STRING + rb")|(?<![^ \n\r\t\])>])(?:"
    + _NAME + rb"[ \n\r\t]*+(?:<<(?:[^<>()]++|" + _STRING + rb")*+>>|" + _NAME + rb")"
    + rb"[ \n\r\t]*+(?:BDC|DP)|" + _NAME + rb"[ \n\r\t]++(?:BMC|MP)|EMC)" + _END + rb"[ \n\r\t]*+",
    re.DOTALL,
)  # fmt: skip


def without_marks(data: bytes) -> bytes:
    """A stream without the common marked content operators (14.6); what they mark stays."""
    if not any(word in data for word in (b"EMC", b"BMC", b"BDC", b"MP", b"DP")):
        return data
    return _MARKS.sub(rb"\1", data)


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
        Naming(name.decode("ascii"), rest[-2:].decode("ascii"))
        for name, rest in set(_NAMING.findall(data))
        if name
    )


def sets_font_first(data: bytes) -> bool:
    """Whether a font is in force wherever a plain stream shows text."""
    fonts = [False]
    for operator in _STATE.findall(data):
        if operator in (b"Tf", b"gs"):
            fonts[-1] = True
        elif operator == b"q":
            fonts.append(fonts[-1])
        elif operator == b"Q":
            if len(fonts) > 1:
                fonts.pop()
        elif operator and not fonts[-1]:
            return False
    return True


def operations(data: bytes) -> Iterator[int]:
    """Where each operation of a plain stream ends."""
    found = _ONE.match(data)
    while found is not None:
        yield found.end()
        found = _ONE.match(data, found.end())
