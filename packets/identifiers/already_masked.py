"""Numbers that are masked already: what is left of them is no part of another number.

Without this a second look at a masked page could join the last four digits
with what stands beside them. A mask answers the label before it, too: the
amount that follows it is not what the label speaks of.
"""

from bisect import bisect_left
from collections.abc import Callable

import regex

_GLYPH = "[X*x]"
_NARROW_GAP = "[ |-]{1,5}"
_ANY_GAP = r"[ \t|-]{1,5}"
_HEAD = rf"(?<![0-9A-Za-z]){_GLYPH}(?:[-./]?{_GLYPH}|(?<={_GLYPH}{_GLYPH}) {_GLYPH}(?={_GLYPH}))"


def _in_boxes(gap: str) -> str:
    """A mask with one character in each box of a form, parted by `gap`."""
    cell = rf"{gap}[0-9](?![0-9])"
    nine_more = rf"(?:{cell}){{5}}(?:(?:{cell}){{9}}){{0,3}}(?!{cell})"
    first = rf"{_GLYPH}(?<![0-9A-Za-z].)"
    return (
        rf"{first}(?:{gap}{_GLYPH}){{4,}}+(?:{cell}){{4}}(?!{nine_more})"
        rf"|{first}(?:{gap}{_GLYPH}){{0,3}}+(?:{cell}){{4}}(?!{cell})"
    )


_MASK = regex.compile(
    rf"{_HEAD}{{4,}}+[- ./]?[0-9]{{4}}(?![0-9]|-[0-9])"  # an SSN, an EIN, a card
    rf"|{_HEAD}{{2,}}+[-./]?[0-9](?:[-./]?[0-9]){{3}}(?![-./]?[0-9])"  # an account
    rf"|{_HEAD}{{2,}}+[- ./]?[0-9](?:[- ./]?[0-9]){{3}}(?![- ./]?[0-9])"  # one with spaces
    rf"|(?<![0-9A-Za-z]){_GLYPH}-?{_GLYPH}?+-?[0-9](?:-?[0-9]){{3}}(?![- ./]?[0-9])"  # a short one
    rf"|{_in_boxes(_NARROW_GAP)}|{_in_boxes(_ANY_GAP)}"
    rf"|(?P<whole>{_GLYPH}(?<![0-9A-Za-z].)(?:[ \t|-]{{0,5}}{_GLYPH}){{2,}}+(?![0-9A-Za-z]))"
)
"""26 CFR 301.6109-4(a) for nine digits; the last four for accounts and cards; PINs whole.
Five X before nine digits in boxes, or eighteen, are ticks or an ornament and mask nothing."""
_KEPT = str.maketrans("0123456789", "XXXXXXXXXX")


class Masks:
    """The masks of one folded line."""

    def __init__(self, line: str) -> None:
        self._line = line
        self.spans: list[tuple[int, int]] = []
        self._whole: list[bool] = []
        if any(glyph in line for glyph in "X*x"):
            for match in _MASK.finditer(line):
                self.spans.append(match.span())
                self._whole.append(match["whole"] is not None)

    def without_digits(self) -> str:
        """The line with the digits that the masks left made unreadable; indexes stay."""
        return self._with(lambda mask: mask.translate(_KEPT))

    def blanked(self) -> str:
        """The line with nothing where the masks stand; indexes stay."""
        return self._with(lambda mask: " " * len(mask))

    def _with(self, instead: Callable[[str], str]) -> str:
        pieces, at = [], 0
        for start, end in self.spans:
            pieces += [self._line[at:start], instead(self._line[start:end])]
            at = end
        return "".join([*pieces, self._line[at:]])

    def answer(self, start: int, limit: int, *, pin: bool) -> int:
        """Where the first mask begins that answers a label ending at `start`, or `limit`.

        A mask without any digit answers for a PIN; for other numbers only right
        behind the label, as it may be a pattern or an ornament.
        """
        for at in range(bisect_left(self.spans, (start, start)), len(self.spans)):
            low = self.spans[at][0]
            if low >= limit:
                break
            if pin or not self._whole[at] or not any(map(str.isalnum, self._line[start:low])):
                return low
        return limit
