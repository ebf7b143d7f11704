"""Shapes of numbers in folded text, found without any label.

Each function returns tuples of indexes of the digits, in order. Validity of
ranges plays no part: an impossible number is masked like a possible one.
"""

from collections.abc import Iterator

import regex

from packets.identifiers.ranges import passes_luhn

Digits = tuple[int, ...]

_GAP = r"[^0-9A-Za-z\n\t$%()\u20ac\u00a3]{1,3}"
"""Between groups; currency, percent and brackets belong to amounts."""
_THREE_TWO_FOUR = regex.compile(
    rf"(?<![0-9])([0-9]{{3}})({_GAP})([0-9]{{2}})({_GAP})([0-9]{{4}})(?![0-9])"
)
_OVER = r" ?(?:- ?\n|\n ?-) *"
"""A dash at the end of a line, or at the start of the next."""
_OVER_LINES = regex.compile(
    rf"(?<![0-9])[0-9]{{3}}(?:{_OVER}[0-9]{{2}}(?:{_OVER}| ?- ?)| ?- ?[0-9]{{2}}{_OVER})[0-9]{{4}}"
    r"(?![0-9])"
)
_DASH = r"[ \t]{0,2}-[ \t]{0,2}"
_SPACED = "[0-9](?: ?[0-9])"
_DASHED = regex.compile(rf"(?<![0-9]){_SPACED}{{2}}{_DASH}{_SPACED}{_DASH}{_SPACED}{{3}}(?![0-9])")
"""Both dashes in place, and blanks anywhere: wide type, and OCR."""
_MISREAD = regex.compile(
    r"(?<![0-9A-Za-z])[0-9OoIl|]{3} ?- ?[0-9OoIl|]{2} ?- ?[0-9OoIl|]{4}(?![0-9A-Za-z])"
)
"""The same with letters that stand for 0 and 1 in type and in OCR."""
_TWO_SEVEN = regex.compile(r"(?<![0-9])(?<![0-9]-)[0-9]{2} ?- ?[0-9]{7}(?![0-9])")
_NINE = regex.compile(r"(?<![0-9])(?<![0-9]\.)(?<![$] ?)[0-9]{9}(?![0-9])(?!\.[0-9]{1,2}(?![0-9]))")
_NEXT_CELL = r"(?:[ \t|]{1,4}(?:-[ \t|]{0,4})?|-[ \t|]{1,4})[0-9](?![0-9])"
_CELLS = regex.compile(
    rf"(?<![0-9])(?<![0-9][ \t|]{{1,4}})[0-9](?:{_NEXT_CELL}){{8}}(?!{_NEXT_CELL})"
)
_CARD = regex.compile(
    r"(?<![0-9])(?<![0-9][- .])(?:(?:[0-9]{4}[- ]){3}[0-9]{1,7}"
    r"|[0-9]{4}[- ][0-9]{6}[- ][0-9]{5}|[0-9]{13,19})"
    r"(?![0-9])"
)
_LETTERS = str.maketrans("OoIl|", "00111")


def digit_indexes(text: str, start: int, end: int) -> Digits:
    """Indexes of the ASCII digits of `text` in a span."""
    return tuple(i for i in range(start, end) if text[i] in "0123456789")


def three_two_four(text: str) -> Iterator[Digits]:
    """Three, two and four digits with separators, as an SSN is written.

    Both separators must be of one kind, so that `123.45 2025` (an amount and a
    year) is not one; a dash beside any other mark or a space counts. Groups
    parted by spaces alone count only where no further number is chained on by
    a space, groups parted by dots or commas only where none is by the same.
    """
    for match in _THREE_TWO_FOUR.finditer(text, overlapped=True):
        first, second = match.group(2).strip(), match.group(4).strip()
        if first != second and "-" not in first + second:
            continue
        if first == second and _is_listed(text, match.group(2), match.start(), match.end()):
            continue
        yield digit_indexes(text, match.start(), match.end())
    for match in _DASHED.finditer(text):
        yield digit_indexes(text, match.start(), match.end())


def _is_listed(text: str, gap: str, start: int, end: int) -> bool:
    """Whether groups parted alike are links of a chain, or of a list: `pages 100, 12, 2024`."""
    mark = gap.strip()
    if mark not in ("", ".", ","):
        return False
    if mark == "," and gap != mark:
        return True
    before, after = text[max(0, start - 2) : start], text[end : end + 2]
    marks = ".," if mark else " "
    return (before[-1:] in (*marks,) and before[:1].isdigit()) or (
        after[:1] in (*marks,) and after[1:].isdigit()
    )


def broken_three_two_four(text: str) -> Iterator[Digits]:
    """The shape with a line end beside one of its dashes, or beside both."""
    for match in _OVER_LINES.finditer(text):
        yield digit_indexes(text, match.start(), match.end())


def misread_three_two_four(text: str) -> Iterator[tuple[Digits, str]]:
    """The dashed shape with O for 0 or l for 1: indexes, and the digits that are meant.

    Six real digits at the least: what has fewer is a word or a part number.
    """
    for match in _MISREAD.finditer(text):
        places = tuple(i for i in range(*match.span()) if text[i] not in "- ")
        written = "".join(text[i] for i in places)
        if not written.isdigit() and sum(map(str.isdigit, written)) >= 6:
            yield places, written.translate(_LETTERS)


def two_seven(text: str) -> Iterator[Digits]:
    """Two digits, a dash, seven digits: how an EIN is written."""
    for match in _TWO_SEVEN.finditer(text):
        yield digit_indexes(text, match.start(), match.end())


def nine_in_a_row(text: str) -> Iterator[Digits]:
    """Exactly nine digits with nothing between; not part of a decimal or a dollar amount."""
    for match in _NINE.finditer(text):
        yield tuple(range(match.start(), match.end()))


def nine_cells(text: str) -> Iterator[Digits]:
    """Nine single digits, each in a cell of its own; the ruler 1 2 3 … 9 is not one."""
    for match in _CELLS.finditer(text):
        digits = digit_indexes(text, match.start(), match.end())
        if len(digits) == 9 and "".join(text[i] for i in digits) != "123456789":
            yield digits


def cards(text: str) -> Iterator[Digits]:
    """Thirteen to nineteen digits, in card groups or in a row, that pass the Luhn check."""
    for match in _CARD.finditer(text):
        digits = digit_indexes(text, match.start(), match.end())
        if 13 <= len(digits) <= 19 and passes_luhn("".join(text[i] for i in digits)):
            yield digits


_AMOUNT = regex.compile(r"(?<![0-9.,/-])[0-9]{1,3}(?:,[0-9]{3}){0,4}\.[0-9]{2}(?![0-9.,/-])")
_THREE_TOGETHER = regex.compile(r"[0-9](?:[^0-9A-Za-z]{0,8}[0-9]){2}")


def may_hold_number(text: str) -> bool:
    """Whether three digits stand together, amounts apart: the least that any rule takes.

    Most lines of a return hold words and amounts; to leave them out at once
    spares the reading of their labels.
    """
    return bool(_THREE_TOGETHER.search(text)) and bool(
        _THREE_TOGETHER.search(_AMOUNT.sub(" ", text))
    )
