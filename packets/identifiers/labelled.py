"""The run of digits that a label speaks of, by the kind of number the label names."""

from collections.abc import Iterator
from itertools import pairwise

import regex

from packets.identifiers.kinds import Kind
from packets.identifiers.labels import Label
from packets.identifiers.shapes import digit_indexes

Digits = tuple[int, ...]

_NEAR = 80
"""How many characters may stand between a label and its run."""
_NEAR_PIN = 60

_GROUP = regex.compile(r"[0-9]+")
_RUN = regex.compile(r"[0-9]+(?:(?:[^0-9A-Za-z\s()]{1,2}|(?<![0-9]{5}) (?![0-9]{5}))[0-9]+)*+")
_SINGLE_RUN = regex.compile(r"[0-9]+(?:[^0-9A-Za-z\s()]{1,2}[0-9]+)*+")
_WORD = regex.compile(r"[0-9A-Za-z]+")
_LOOSE = regex.compile(r"[^0-9A-Za-z\n]{0,6}")
_INSIDE = regex.compile(r"[0-9][.,-]?$")
_MORE = regex.compile(r"[^0-9A-Za-z\n]{1,4}[0-9X*]")
_BLANK = regex.compile(r"[ \t|_]*")
_CELL = r"[0-9](?![0-9A-Za-z])"
_PIN = regex.compile(
    r"(?<![0-9A-Za-z$]|[0-9][.,-]|, [A-Z]{2} )"
    r"(?:[0-9]{6}[ \t|-]{0,4}[0-9]{5}|[0-9]{5,6}"
    rf"|{_CELL}(?:[ \t|]{{1,4}}{_CELL}){{4,10}}+)"
    r"(?![0-9A-Za-z]|[.,-][0-9])"
)
_CELLS = rf"{_CELL}(?:[ \t|]{{1,4}}{_CELL}){{4,19}}+"
_CARD = regex.compile(
    rf"(?<![0-9])(?:[0-9]{{8,19}}|{_CELLS}|[0-9]{{4}}(?:[- ][0-9]{{4}}){{3}}"
    r"|[0-9]{4}[- ][0-9]{6}[- ][0-9]{4,5}|[0-9]{4}(?:(?:-[0-9]{2,7}){1,4}|(?: [0-9]{2,7}){1,4}))"
    r"(?![0-9])"
)
_ONE_DIGIT = regex.compile(r"[0-9](?![0-9])")
_DIGIT_BEFORE = regex.compile(r"(?<![0-9])[0-9]([ \t|]{1,4})$")
_PIECE = r"(?=[A-Za-z]{0,6}[0-9])[0-9A-Za-z]++"
_ACCOUNT = regex.compile(
    rf"(?<![0-9A-Za-z$]|[0-9][.,])(?:{_CELLS}"
    rf"|{_PIECE}(?:(?:(?:- ?|[./]){_PIECE}){{1,9}}+"
    r"|(?: [0-9]{1,20}(?![0-9A-Za-z]|[-/][0-9A-Za-z])){1,9}+)?+)"
)
_AMOUNT = regex.compile(
    r"[0-9]{1,3}(?:,[0-9]{3})*\.[0-9]{2}|[0-9]{1,2}[-./][0-9]{1,2}[-./](?:[0-9]{2}|[0-9]{4})"
    r"|[0-9]{4}-[0-9]{2}-[0-9]{2}"
)
_YEAR = regex.compile(r"(?:19|20)[0-9]{2}")
_COMMA_AMOUNT = regex.compile(r"(?:,[0-9]{3})+(?![0-9])|,[0-9]{2}(?![0-9])|\.[0-9]{1,2}(?![0-9])")
_LAST_FEW = regex.compile(r"end(?:ing|s) ?(?:in|with)?[^0-9A-Za-z]*$|last ?(?:4|four)\D*$")


def numeric_runs(line: str) -> Iterator[tuple[int, int]]:
    """Spans of digit groups that are written as one number (dashes, dots, narrow spaces)."""
    for match in _RUN.finditer(line):
        yield match.span()


def single_runs(line: str) -> Iterator[tuple[int, int]]:
    """The same, parted at every space: each may stand below a label of its own."""
    for match in _SINGLE_RUN.finditer(line):
        yield match.span()


def is_further_box(text: str, start: int) -> bool:
    """Whether this is a further digit in a row of boxes, of which the first was looked at."""
    if not _ONE_DIGIT.match(text, start):
        return False
    before = _DIGIT_BEFORE.search(text[max(0, start - 6) : start])
    return before is not None and ("\t" not in before[1] or text[start + 1 : start + 2] == "\t")


def governed_span(line: str, label: Label, limit: int) -> tuple[int, int] | None:
    """The numeric run after a label, up to `limit`, that the label speaks of.

    The first one with five digits or more, so that a page or box number in the
    caption does not answer for it; the first of all where there is none.
    """
    first = None
    for match in _RUN.finditer(line, label.end, limit):
        between = line[label.end : match.start()]
        if len(between) > _NEAR or (label.near and len(_WORD.findall(between)) > 2):
            break
        if len(digit_indexes(line, *match.span())) >= 5:
            return match.span()
        first = first or match.span()
    return first


def runs_after(line: str, start: int, limit: int, kind: Kind) -> Iterator[Digits]:
    """The number of `kind` that follows `start` before `limit`: at most one."""
    finder = {Kind.ACCOUNT: _account, Kind.CARD: _card, Kind.IP_PIN: _pin}.get(kind, _nine)
    found = finder(line, start, limit)
    if found:
        yield found


def _nine(line: str, start: int, limit: int) -> Digits:
    for group in _GROUP.finditer(line, start, limit):
        between = line[start : group.start()]
        if len(between) > _NEAR:
            break
        digits = _collect_nine(line, group.start(), limit)
        if digits and _is_nine_written(line, digits, behind=not any(map(str.isalnum, between))):
            return digits
    return ()


def _collect_nine(line: str, at: int, limit: int) -> Digits:
    """Nine digits from `at` on, over loose gaps, ending at the end of a group."""
    digits: list[int] = []
    if _INSIDE.search(line[max(0, at - 2) : at]) or is_further_box(line, at):
        return ()
    while len(digits) < 9 and at < limit:
        group = _GROUP.match(line, at)
        if group is None:
            return ()
        digits.extend(range(*group.span()))
        gap = _LOOSE.match(line, group.end())
        at = gap.end() if gap else group.end()
    return tuple(digits) if len(digits) == 9 else ()


def _is_nine_written(line: str, digits: Digits, *, behind: bool) -> bool:
    """Whether nine digits are parted as a taxpayer number may be, not as something else is.

    Blanks may stand anywhere (boxes of a form, OCR), but long groups parted by
    blanks alone are two numbers; marks only where the number has them: after
    three and five, after two, or after three and six. ZIP+4, dates, telephone
    numbers and amounts have them elsewhere. `behind`: right behind its label.
    """
    gaps = {k: line[a + 1 : b] for k, (a, b) in enumerate(pairwise(digits), 1) if b > a + 1}
    cuts = tuple(gaps)
    if cuts in ((), (2,)):
        return True
    if cuts == (3, 5):
        first, second = (gap.strip(" \t|_") for gap in gaps.values())
        return first == second or "-" in first + second
    marks = {k for k, gap in gaps.items() if not _BLANK.fullmatch(gap)}
    if marks:
        listed = any("," in gap or "/" in gap for gap in gaps.values())
        return not listed and _has_marks_of_nine(cuts, marks, behind=behind)
    return _is_nine_in_blanks(line, digits, gaps, behind=behind)


def _has_marks_of_nine(cuts: tuple[int, ...], marks: set[int], *, behind: bool) -> bool:
    as_ssn = marks <= {3, 5} <= set(cuts)
    in_threes = cuts in ((3, 6), (2, 5)) and marks == set(cuts)
    return as_ssn or in_threes or (cuts == (5,) and behind)


def _is_nine_in_blanks(line: str, digits: Digits, gaps: dict[int, str], *, behind: bool) -> bool:
    borders = {k for k, gap in gaps.items() if "\t" in gap}
    if borders not in (set(), {2}, {3, 5}, set(gaps)):
        return False
    sizes = [b - a for a, b in pairwise((0, *gaps, 9))]
    if max(sizes) == 1:
        return True
    return (behind or max(sizes) <= 3) and not _MORE.match(line, digits[-1] + 1)


def _account(line: str, start: int, limit: int) -> Digits:
    at = start
    while match := _ACCOUNT.search(line, at, limit):
        low, at = _own_part(line, *match.span())
        if low - start > _NEAR:
            break
        if _is_account(line, start, low, at):
            return tuple(i for i in range(low, at) if line[i].isalnum())
    return ()


def _is_account(line: str, start: int, low: int, high: int) -> bool:
    count = len(digit_indexes(line, low, high))
    if count < 3 or _is_amount(line, low, high) or _is_masked(line, low, high):
        return False
    if count > 4:
        return True
    behind = low > start and not any(map(str.isalnum, line[start:low]))
    # so short a run is taken only right behind its label, and not where it is the last four
    return behind and not _LAST_FEW.search(line[max(0, low - 40) : low])


def _own_part(line: str, low: int, high: int) -> tuple[int, int]:
    """An account without the date, amount or year that follows it after a space."""
    parts = line[low:high].split(" ")
    end = low + len(parts[0])
    if _AMOUNT.fullmatch(parts[0]):
        return low, end
    for at, (before, part) in enumerate(pairwise(parts), 1):
        if len(before) >= 7 and [len(group) for group in parts[at : at + 3]] == [3, 2, 4]:
            break
        year = _YEAR.fullmatch(part) and len(before) not in (1, 4)
        if year or _AMOUNT.fullmatch(part) or _COMMA_AMOUNT.match(line, end + 1 + len(part)):
            break
        end += 1 + len(part)
    return low, end


def _is_amount(line: str, low: int, high: int) -> bool:
    return bool(_AMOUNT.fullmatch(line, low, high) or _COMMA_AMOUNT.match(line, high))


def _is_masked(line: str, low: int, high: int) -> bool:
    """Whether a mask already stands here: X or * before at most four remaining digits."""
    written = line[low:high]
    before = line[max(0, low - 8) : low].rstrip(" -")
    bare = written.lstrip("Xx-. /")
    return len(digit_indexes(bare, 0, len(bare))) <= 4 and (
        before.endswith(("X", "*")) or written[:1] in ("X", "x")
    )


def _card(line: str, start: int, limit: int) -> Digits:
    for match in _CARD.finditer(line, start, limit):
        if match.start() - start > _NEAR:
            break
        digits = digit_indexes(line, *match.span())
        if 8 <= len(digits) <= 19:
            return digits
    return ()


def _pin(line: str, start: int, limit: int) -> Digits:
    for match in _PIN.finditer(line, start, limit):
        if match.start() - start > _NEAR_PIN:
            break
        digits = digit_indexes(line, *match.span())
        if len(digits) in (5, 6, 11):
            return digits
    return ()
