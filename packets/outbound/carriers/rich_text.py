"""Rich text (RTF): control words undone, letters put together, pictures and objects handed on."""

import binascii
import contextlib
import re
from dataclasses import dataclass, field

from packets.base.errors import Damaged
from packets.outbound.carriers.found import Budget, Finding, Part, Sort, Text, Unread

_TOKEN = re.compile(
    rb"\\([A-Za-z]{1,32})(-?\d{1,10})? ?"
    rb"|\\'([0-9A-Fa-f]{2})"
    rb"|\\([^A-Za-z])"
    rb"|([{}])"
    rb"|[\r\n\0]+"
    rb"|([^\\{}\r\n\0]+)",
    re.DOTALL,
)
_BREAKS = frozenset(b"par line page sect column cell row nestcell nestrow tab softline".split())
_MARKS = {
    b"emdash": "\u2014",
    b"endash": "\u2013",
    b"bullet": "\u2022",
    b"lquote": "'",
    b"rquote": "'",
    b"ldblquote": '"',
    b"rdblquote": '"',
}
_SIGNS = {b"~": " ", b"_": "-", b"-": "\u00ad"}
_IN_HEXADECIMAL = frozenset(
    {b"pict", b"objdata", b"datastore", b"themedata", b"colorschememapping"}
)
_BESIDE = frozenset(
    b"fonttbl colortbl stylesheet info listtable generator rsidtbl xmlnstbl latentstyles".split()
)
_MOST_GROUPS = 1000


@dataclass
class _Group:
    """What holds until a closing brace."""

    is_beside: bool = False
    hexadecimal: bytes = b""
    skip: int = 1
    """Letters that stand behind `\\u` for readers that do not know it."""
    digits: bytearray = field(default_factory=bytearray)


def read_rich_text(data: bytes, budget: Budget) -> Finding:
    """The text as it is shown, what stands beside it, and what is enclosed."""
    work = _RichText(data, budget)
    yield from work.run()
    yield Text("text of the file", "".join(work.shown))
    yield Text("text beside the text", "".join(work.beside))
    yield Text("text beside the text", "".join(work.beside), Sort.HIDDEN)


class _RichText:
    def __init__(self, data: bytes, budget: Budget) -> None:
        self.data, self.budget = data, budget
        self.shown: list[str] = []
        self.beside: list[str] = []
        self.groups: list[_Group] = [_Group()]
        self.to_skip = 0

    def run(self) -> Finding:
        at = 0
        while at < len(self.data):
            token = _TOKEN.match(self.data, at)
            if token is None:
                raise Damaged("a rich text that cannot be taken apart")
            at = token.end()
            word, number, code, sign, brace, plain = token.groups()
            if brace == b"{":
                if len(self.groups) > _MOST_GROUPS:
                    raise Damaged("a rich text with groups inside groups inside groups")
                self.groups.append(_Group(self.top.is_beside, self.top.hexadecimal, self.top.skip))
                self.to_skip = 0
            elif brace:
                yield from self.close()
            elif word == b"bin":
                size = max(0, int(number or b"0"))
                yield Part("data in the text", self.data[at : at + size])
                at += size
            elif word:
                self.control(word, number)
            elif code:
                self.put(bytes.fromhex(code.decode("ascii")).decode("cp1252", "replace"))
            elif sign:
                self.sign(sign)
            elif plain:
                self.plain(plain)
        while len(self.groups) > 1:
            yield from self.close()

    @property
    def top(self) -> _Group:
        return self.groups[-1]

    def close(self) -> Finding:
        group = self.groups.pop() if len(self.groups) > 1 else self.groups[0]
        self.to_skip = 0
        if not group.digits:
            return
        if group.hexadecimal:
            try:
                body = binascii.unhexlify(group.digits)
            except binascii.Error:
                yield Unread("data in the text that cannot be decoded")
                return
            self.budget.take(len(body))
            yield Part("data in the text", body)

    def control(self, word: bytes, number: bytes | None) -> None:
        if word == b"u" and number:
            self.put(chr(int(number) % 0x10000))
            self.to_skip = self.top.skip
        elif word == b"uc":
            self.top.skip = min(9, max(0, int(number or b"1")))
        elif word in _IN_HEXADECIMAL:
            self.top.hexadecimal = word
        elif word in _BESIDE:
            self.top.is_beside = True
        elif word in _BREAKS:
            self.put("\t" if word in (b"tab", b"cell", b"nestcell") else "\n")
        elif word in _MARKS:
            self.put(_MARKS[word])

    def sign(self, sign: bytes) -> None:
        if sign == b"*":
            self.top.is_beside = True
        elif sign in (b"\n", b"\r"):
            self.put("\n")
        else:
            self.put(_SIGNS.get(sign, sign.decode("latin-1")))

    def plain(self, words: bytes) -> None:
        if self.top.hexadecimal:
            digits = bytes(byte for byte in words if byte in b"0123456789abcdefABCDEF")
            with contextlib.suppress(MemoryError):
                self.top.digits += digits
            return
        left = words[self.to_skip :]
        self.to_skip = max(0, self.to_skip - len(words))
        if left:
            self.put(left.decode("cp1252", "replace"))

    def put(self, words: str) -> None:
        if self.to_skip and len(words) == 1:
            self.to_skip -= 1
            return
        (self.beside if self.top.is_beside else self.shown).append(words)
