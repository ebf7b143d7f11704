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
_LOOK_LIKE, _MEANT = "OoQDIl|!ZzSsGbBgq", "00001111225566899"
_ALSO = f"[0-9{_LOOK_LIKE}]"
_MISREAD = regex.compile(
    rf"(?<![0-9A-Za-z]){_ALSO}{{3}} ?- ?{_ALSO}{{2}} ?- ?{_ALSO}{{4}}(?![0-9A-Za-z])"
)
"""The same with letters that are taken for digits, by those who type and by OCR."""
_TWO_SEVEN = regex.compile(r"(?<![0-9])(?<![0-9]-)[0-9]{2} ?- ?[0-9]{7}(?![0-9])")
_NINE = regex.compile(
    r"(?<![0-9])(?<!(?<![0-9-])[0-9]{1,7}\.)(?<![$] ?)[0-9]{9}(?![0-9])(?!\.[0-9]{1,2}(?![0-9]))"
)
_NEXT_CELL = r"(?:[ \t|]{1,4}(?:-[ \t|]{0,4})?|-[ \t|]{1,4})[0-9](?![0-9])"
_CELLS = regex.compile(rf"(?<![0-9])[0-9](?![0-9])(?:{_NEXT_CELL})*+")
_CARD = regex.compile(
    r"(?<![0-9])(?<![0-9][-.])(?:(?:[0-9]{4}[- ]){3}[0-9]{1,7}"
    r"|[0-9]{4}[- ][0-9]{6}[- ][0-9]{5}|[0-9]{13,19})"
    r"(?![0-9])"
)
_GROUPS_BEFORE = regex.compile(r"(?<![0-9A-Za-z.,/-])(?:[0-9]{2,4} )+$")
_GROUPS_AFTER = regex.compile(r"(?: [0-9]{2,4}(?![0-9A-Za-z.,/-]))+")
_ROW = 44
"""How many characters to each side a row of numbers is looked at: four SSNs."""
_LETTERS = str.maketrans(_LOOK_LIKE, _MEANT)


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
    if not mark:
        return _is_row(text, start, end)
    if mark not in ".,":
        return False
    if mark == "," and gap != mark:
        return True
    before, after = text[max(0, start - 2) : start], text[end : end + 2]
    return (before[-1:] in (".", ",") and before[:1].isdigit()) or (
        after[:1] in (".", ",") and after[1:].isdigit()
    )


def _is_row(text: str, start: int, end: int) -> bool:
    """Whether spaced groups stand in a row of five numbers or more, as amounts in a table do.

    Further groups of three, two and four are SSNs of their own, four fours a card.
    """
    before = _GROUPS_BEFORE.search(text[max(0, start - _ROW) : start])
    after = _GROUPS_AFTER.match(text[end : end + _ROW])
    row = f"{before[0] if before else ''} 000 00 0000 {after[0] if after else ''}"
    sizes = "".join(str(len(group)) for group in row.split())
    return len(sizes.replace("4444", "").replace("324", "")) >= 2


def broken_three_two_four(text: str) -> Iterator[Digits]:
    """The shape with a line end beside one of its dashes, or beside both."""
    for match in _OVER_LINES.finditer(text):
        yield digit_indexes(text, match.start(), match.end())


def misread_three_two_four(text: str) -> Iterator[tuple[Digits, str]]:
    """The dashed shape with O for 0, l for 1 and so on: indexes, and the digits that are meant.

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
    """Nine single digits, each in a cell of its own; the ruler 1 2 3 … 9 is not one.

    Eighteen are two numbers side by side, and so on. Where tabs and narrower
    gaps stand in one row, a tab parts one number from what is beside it, or its
    three, two and four digits from one another.
    """
    for match in _CELLS.finditer(text):
        if match.end() - match.start() < 17:
            continue
        parts: list[Digits] = []
        start = match.start()
        for part in match.group().split("\t") if " " in match.group() else [match.group()]:
            parts.append(digit_indexes(text, start, start + len(part)))
            start += len(part) + 1
        # Cells drawn or read a little apart mix tabs and spaces within one number.
        for nine in list(_nines(parts)) or _nines([sum(parts, ())]):
            if "".join(text[i] for i in nine) != "123456789":
                yield nine


def _nines(parts: list[Digits]) -> Iterator[Digits]:
    for at, part in enumerate(parts):
        if part and len(part) % 9 == 0:
            yield from (part[k : k + 9] for k in range(0, len(part), 9))
        group = parts[at : at + 3]
        if [len(digits) for digits in group] == [3, 2, 4]:
            yield sum(group, ())


def cards(text: str) -> Iterator[Digits]:
    """Thirteen to nineteen digits, in card groups or in a row, that pass the Luhn check."""
    for match in _CARD.finditer(text, overlapped=True):
        digits = digit_indexes(text, match.start(), match.end())
        if 13 <= len(digits) <= 19 and passes_luhn("".join(text[i] for i in digits)):
            yield digits


_AMOUNT = regex.compile(r"(?<![0-9.,/-])[0-9]{1,3}(?:,[0-9]{3}){0,4}\.[0-9]{2}(?![0-9.,/-])")
_THREE_TOGETHER = regex.compile(r"[0-9](?:(?:[^0-9A-Za-z]{0,8}|[A-Za-z])[0-9]){2}")


def may_hold_number(text: str) -> bool:
    """Whether three digits stand together, amounts apart: the least that any rule takes.

    Most lines of a return hold words and amounts; to leave them out at once
    spares the reading of their labels.
    """
    return bool(_THREE_TOGETHER.search(text)) and bool(
        _THREE_TOGETHER.search(_AMOUNT.sub(" ", text))
    )
