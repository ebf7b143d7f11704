"""A second, crude scan for numbers, written apart from the shared finder.

It shares no pattern with `packets.identifiers`, so that one blind spot is not
shared. It works on bytes: digits of every script become ASCII, what cannot be
seen goes, and then two questions are asked: do the digits of a known number
follow one another, and do three, two and four digits stand with dashes or
spaces between.
"""

import itertools
import re
import unicodedata
from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import NamedTuple

from packets.identifiers.kinds import KnownNumber, MaskPolicy
from packets.identifiers.ranges import personal_kind

_DIGITS = b"0123456789"
_LETTERS = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz"
_MARKS = bytes(byte for byte in range(256) if byte not in _DIGITS + _LETTERS)
_MARKS_IN_LINE = _MARKS.replace(b"\n", b"")
_NOT_DIGITS = _MARKS + _LETTERS
_SHAPE_OF = bytes(
    48 if byte in _DIGITS else 45 if byte in b"-\xad" else 32 if byte in b" \xa0" else 120
    for byte in range(256)
)
"""Each byte as one of four: `0` a digit, `-` a dash, a space, `x` anything else."""
_DASHED = re.compile(rb"(?<!0)000 ?- ?00 ?- ?0000(?!0)")
_TIGHT = re.compile(rb"(?<!0)000-00-0000(?!0)")
_SPACED = re.compile(rb"(?<!0)(?<!0 )000 00 0000(?!0)(?! 0)")
_MISREAD = re.compile(
    rb"(?<!\d)(?!\d{3} {1,2}\d\d {1,2}\d)\d{3}[-:;~_= ]{1,2}\d\d[-:;~_= ]{1,2}\d{4}(?!\d)"
)
"""Recognition takes a dash for another mark, or overlooks one of two."""
_UTF8_DASHES = (
    re.compile(rb"\xe2(?:\x80[\x90-\x95]|\x88\x92)"),
    re.compile(rb"\xef(?:\xbc\x8d|\xb9[\x98\xa3])"),
)
"""Two patterns, each with a first byte of its own, which the engine seeks much faster."""
_NOT_ASCII = re.compile(r"[^\x00-\x7f]")
_LONG = 9


class Hit(NamedTuple):
    """Something that looks like a full number. Holds no digit of it."""

    kind: str
    how_sure: str


@lru_cache(maxsize=4096)
def _plain(char: str) -> str:
    digit = unicodedata.digit(char, None)
    if digit is not None:
        return str(digit)
    category = unicodedata.category(char)
    if category == "Pd" or char in "\u00ad\u2212\u02d7\ufffe\u2043\u00b7\u2022":
        return "-"
    if category in ("Cf", "Mn", "Me"):
        return ""
    return " " if category[0] == "Z" else "\x7f"


def plain_bytes(text: str) -> bytes:
    """`text` with all digits in ASCII, dashes as `-`, spaces as a space, the rest as a mark."""
    text = text.replace("\x02", "-")  # how PDFium writes a hyphen at the end of a line
    if not text.isascii():
        text = _NOT_ASCII.sub(lambda match: _plain(match[0]), text)
    return text.encode("ascii", "replace")


class CrudeScan:
    """The crude scan for one set of known numbers under one policy."""

    def __init__(self, known: Sequence[KnownNumber], policy: MaskPolicy) -> None:
        wanted = [n for n in known if policy.masks(n.kind, given=n.given)]
        spelled = sorted({(n.digits.reveal().encode(), n.kind.value) for n in wanted})
        self._long = [
            (digits, kind, _grouped(digits)) for digits, kind in spelled if len(digits) >= _LONG
        ]
        self._short = [pair for pair in spelled if 4 < len(pair[0]) < _LONG]
        self._policy = policy
        self._patterns: dict[bytes, re.Pattern[bytes]] = {}

    def in_text(
        self,
        text: str,
        *,
        backwards: bool = False,
        spaced: bool = True,
        through_words: bool = False,
    ) -> set[Hit]:
        """Hits in a text that a person reads, with any marks inside long known numbers.

        `through_words` lets words stand inside too, as between the columns of a
        page; `backwards` looks for known numbers drawn from right to left too, within
        a line (down a page, line numbers count 1 to 9 and would answer to 987654321);
        `spaced` takes groups parted by spaces alone for a shape.
        """
        plain = plain_bytes(text)
        return self._in_plain(plain, backwards=backwards, spaced=spaced, words=through_words)

    def on_page(self, text: str) -> set[Hit]:
        """Hits in the text of a page, forwards and backwards, and as a scanner may have read it."""
        plain = plain_bytes(text)
        whole = self._in_plain(plain, backwards=True, spaced=True, words=True)
        return whole | self._known_nearly_in(plain)

    def _in_plain(self, plain: bytes, *, backwards: bool, spaced: bool, words: bool) -> set[Hit]:
        joined = plain.translate(None, _NOT_DIGITS if words else _MARKS)
        turned = plain.translate(None, _MARKS_IN_LINE)[::-1] if backwards else b""
        hits = {
            Hit(kind, "known number")
            for digits, kind, _ in self._long
            if digits in joined or digits in turned
        }
        hits |= {
            Hit(kind, "known number")
            for digits, kind in self._short
            if _stands_alone(plain, digits)
        }
        plain = plain.replace(b"-\r\n", b"-").replace(b"-\n", b"-")
        return hits | self._shapes(plain, (_DASHED, _SPACED) if spaced else (_DASHED,))

    def nearly_in(self, text: str) -> set[Hit]:
        """Long known numbers in one line with one digit misread, and shapes with misread dashes."""
        plain = plain_bytes(text)
        shapes = self._kinds_of(match[0] for match in _MISREAD.finditer(plain))
        return shapes | self._known_nearly_in(plain)

    def known_nearly_in(self, text: str) -> set[Hit]:
        """Long known numbers in one line with one digit misread, left out or put in."""
        return self._known_nearly_in(plain_bytes(text))

    def _known_nearly_in(self, plain: bytes) -> set[Hit]:
        flat = plain.translate(None, _MARKS_IN_LINE)
        return {
            Hit(kind, "known number")
            for digits, kind, _ in self._long
            # One fault leaves the first or the last four as they are.
            if digits[:4] in flat or digits[-4:] in flat
            for line in flat.split(b"\n")
            if (digits[:4] in line or digits[-4:] in line) and self._misread(digits).search(line)
        }

    def _misread(self, digits: bytes) -> "re.Pattern[bytes]":
        if digits not in self._patterns:
            self._patterns[digits] = _misread(digits)
        return self._patterns[digits]

    def in_bytes(self, data: bytes, *, shapes: bool = True) -> set[Hit]:
        """Hits in bytes of any meaning: UTF-8, UTF-16 or one byte for each character.

        Spaces alone make no shape here, and known numbers are looked for in one
        piece or in customary groups: coordinates are full of digits.
        """
        hits: set[Hit] = set()
        if b"\0" in data:
            data = data.translate(None, b"\0")
        if self._long:
            joined = data.translate(None, _MARKS)
            for digits, kind, grouped in self._long:
                if digits in joined and grouped.search(data):
                    hits.add(Hit(kind, "known number"))
        if shapes:
            for dashes in _UTF8_DASHES if not data.isascii() else ():
                data = dashes.sub(b"-", data)
            hits |= self._shapes(data, (_TIGHT,))
        return hits

    def _shapes(self, plain: bytes, patterns: "tuple[re.Pattern[bytes], ...]") -> set[Hit]:
        outline = plain.translate(_SHAPE_OF)
        if b"00-0000" not in outline and b"0 0000" not in outline and b"- 0000" not in outline:
            return set()
        return self._kinds_of(
            plain[match.start() : match.end()]
            for pattern in patterns
            for match in pattern.finditer(outline)
        )

    def _kinds_of(self, written: Iterable[bytes]) -> set[Hit]:
        kinds = {personal_kind(each.translate(None, _MARKS).decode("ascii")) for each in written}
        return {Hit(kind.value, "shape") for kind in kinds if self._policy.masks(kind)}


def _grouped(digits: bytes) -> "re.Pattern[bytes]":
    """The digits in one piece, in customary groups, or each apart from the next."""
    mark = rb"[^0-9A-Za-z]{1,3}"
    forms = [digits, mark.join(digits[i : i + 1] for i in range(len(digits)))]
    for cuts in ((3, 5), (2,), (4, 8, 12), (4, 10), (3, 6)):
        edges = [0, *(cut for cut in cuts if cut < len(digits)), len(digits)]
        forms.append(mark.join(digits[a:b] for a, b in itertools.pairwise(edges)))
    return re.compile(b"|".join(forms))


def _misread(digits: bytes) -> "re.Pattern[bytes]":
    """The digits with one of them changed, left out, or one put in."""
    forms = [
        digits[:at] + between + digits[at + skip :]
        for at in range(len(digits))
        for between, skip in ((rb"\d", 1), (rb"\d", 0), (b"", 1))
    ]
    return re.compile(rb"(?<!\d)(?:" + b"|".join(forms) + rb")(?!\d)")


def _stands_alone(plain: bytes, digits: bytes) -> bool:
    """A short known number as a word of its own, with at most a dash or space inside."""
    if digits not in plain.translate(None, b" -"):
        return False
    pattern = rb"[- ]?".join(digits[i : i + 1] for i in range(len(digits)))
    return (
        re.search(rb"(?<![0-9A-Za-z.,$])" + pattern + rb"(?![0-9A-Za-z]|[.,]\d)", plain) is not None
    )
