"""Shapes of numbers in folded text, found without any label.

Each function returns tuples of indexes of the digits, in order. Validity of
ranges plays no part: an impossible number is masked like a possible one.
"""

from collections.abc import Iterator

import regex

from packets.identifiers.ranges import passes_luhn

Digits = tuple[int, ...]

_GAP = r"[^0-9A-Za-z\n\t]{1,3}"
_BROKEN = r"[ ]?-[ ]?\n[ ]*"
_THREE_TWO_FOUR = regex.compile(
    rf"(?<![0-9])([0-9]{{3}})({_GAP}|{_BROKEN})([0-9]{{2}})({_GAP}|{_BROKEN})([0-9]{{4}})(?![0-9])"
)
_TWO_SEVEN = regex.compile(r"(?<![0-9])(?<![0-9]-)[0-9]{2} ?- ?[0-9]{7}(?![0-9])")
_NINE = regex.compile(r"(?<![0-9])(?<![0-9][.,])(?<![$] ?)[0-9]{9}(?![0-9])(?![.,][0-9])")
_CELLS = regex.compile(
    r"(?<![0-9])(?<![0-9][ \t|]{1,4})[0-9](?:[ \t|]{0,4}-?[ \t|]{1,4}[0-9](?![0-9])"
    r"|[ \t|]{1,4}-?[ \t|]{0,4}[0-9](?![0-9])){8}(?![ \t|]{1,4}-?[ \t|]{0,4}[0-9](?![0-9]))"
)
_CARD = regex.compile(
    r"(?<![0-9])(?<![0-9][- .])(?:(?:[0-9]{4}[- ]){3}[0-9]{1,7}"
    r"|[0-9]{4}[- ][0-9]{6}[- ][0-9]{5}|[0-9]{13,19})"
    r"(?![0-9])"
)


def digit_indexes(text: str, start: int, end: int) -> Digits:
    """Indexes of the ASCII digits of `text` in a span."""
    return tuple(i for i in range(start, end) if text[i] in "0123456789")


def three_two_four(text: str) -> Iterator[Digits]:
    """Three, two and four digits with separators, as an SSN is written.

    Both separators must be of one kind, so that `123.45 2025` (an amount and a
    year) is not one; any dash beside any other mark counts. Groups parted by
    spaces alone count only where no further number is chained on by a space.
    """
    for match in _THREE_TWO_FOUR.finditer(text, overlapped=True):
        first, second = match.group(2).strip(), match.group(4).strip()
        if first != second and not ("-" in first and "-" in second):
            continue
        if not first and _chained(text, match.start(), match.end()):
            continue
        yield digit_indexes(text, match.start(), match.end())


def _chained(text: str, start: int, end: int) -> bool:
    before, after = text[max(0, start - 2) : start], text[end : end + 2]
    return (before[-1:] == " " and before[:1].isdigit()) or (
        after[:1] == " " and after[1:].isdigit()
    )


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
