"""The run of digits that a label speaks of, by the kind of number the label names."""

from collections.abc import Iterator, Sequence

import regex

from packets.identifiers.kinds import Kind
from packets.identifiers.labels import Label
from packets.identifiers.shapes import digit_indexes

Digits = tuple[int, ...]

_NEAR = 80
"""How many characters may stand between a label and its run."""
_NEAR_PIN = 60

_GROUP = regex.compile(r"[0-9]+")
_RUN = regex.compile(r"[0-9]+(?:(?:[^0-9A-Za-z\s]{1,2}|(?<![0-9]{5}) (?![0-9]{5}))[0-9]+)*")
_LOOSE = regex.compile(r"[^0-9A-Za-z\n]{0,6}")
_PIN = regex.compile(r"(?<![0-9$,.])[0-9](?:[ \t|-]{0,4}[0-9])*(?![0-9,.]*[0-9])")
_ACCOUNT = regex.compile(
    r"(?<![0-9A-Za-z$.,])(?=[A-Za-z]{0,6}[0-9])[0-9A-Za-z]+"
    r"(?:(?:[-./] ?| )(?=[A-Za-z]{0,3}[0-9])[0-9A-Za-z]+)*"
    r"|(?<![0-9A-Za-z$.,])[0-9](?:[ \t|]{1,4}[0-9](?![0-9A-Za-z])){2,19}"
)
_CARD = regex.compile(r"(?<![0-9])[0-9](?:[- ]?[0-9]){7,18}(?![0-9])")
_AMOUNT = regex.compile(
    r"[0-9]{1,3}(?:,[0-9]{3})*\.[0-9]{2}|[0-9]{1,2}[-./][0-9]{1,2}[-./][0-9]{2,4}"
)


def numeric_runs(line: str) -> Iterator[tuple[int, int]]:
    """Spans of digit groups that are written as one number (dashes, dots, narrow spaces)."""
    for match in _RUN.finditer(line):
        yield match.span()


def governed_span(line: str, label: Label, limit: int) -> tuple[int, int] | None:
    """The first numeric run after a label, up to `limit`: the one the label speaks of."""
    match = _RUN.search(line, label.end, limit)
    if match is None or match.start() - label.end > _NEAR:
        return None
    return match.span()


def next_label(label: Label, labels: Sequence[Label], line: str) -> int:
    """Where the next label starts, or the end of the line."""
    return min((other.start for other in labels if other.start >= label.end), default=len(line))


def runs_after(line: str, start: int, limit: int, kind: Kind) -> Iterator[Digits]:
    """The number of `kind` that follows `start` before `limit`: at most one."""
    finder = {Kind.ACCOUNT: _account, Kind.CARD: _card, Kind.IP_PIN: _pin}.get(kind, _nine)
    found = finder(line, start, limit)
    if found:
        yield found


def _nine(line: str, start: int, limit: int) -> Digits:
    for group in _GROUP.finditer(line, start, limit):
        if group.start() - start > _NEAR:
            break
        digits = _collect_nine(line, group.start())
        if digits:
            return digits
    return ()


def _collect_nine(line: str, at: int) -> Digits:
    """Nine digits from `at` on, over loose gaps, ending at the end of a group."""
    digits: list[int] = []
    if at and line[at - 1] in "0123456789":
        return ()
    while len(digits) < 9:
        group = _GROUP.match(line, at)
        if group is None:
            return ()
        digits.extend(range(*group.span()))
        gap = _LOOSE.match(line, group.end())
        at = gap.end() if gap else group.end()
    return tuple(digits) if len(digits) == 9 else ()


def _account(line: str, start: int, limit: int) -> Digits:
    for match in _ACCOUNT.finditer(line, start, limit):
        digits = digit_indexes(line, *match.span())
        distance = match.start() - start
        if distance > _NEAR:
            break
        if len(digits) < 3 or _AMOUNT.fullmatch(match.group()) or _is_masked(line, match.span()):
            continue
        if len(digits) <= 4 and (
            not distance or any(map(str.isalnum, line[start : match.start()]))
        ):
            continue  # so short a run is taken only right behind its label
        return tuple(i for i in range(*match.span()) if line[i].isalnum())
    return ()


def _is_masked(line: str, span: tuple[int, int]) -> bool:
    """Whether a mask already stands here: X or * before at most four remaining digits."""
    written = line[span[0] : span[1]]
    before = line[: span[0]].rstrip(" -")
    bare = written.lstrip("Xx-. /")
    return len(digit_indexes(bare, 0, len(bare))) <= 4 and (
        before.endswith(("X", "*")) or written[:1] in ("X", "x")
    )


def _card(line: str, start: int, limit: int) -> Digits:
    match = _CARD.search(line, start, limit)
    if match is None or match.start() - start > _NEAR:
        return ()
    return digit_indexes(line, *match.span())


def _pin(line: str, start: int, limit: int) -> Digits:
    for match in _PIN.finditer(line, start, limit):
        if match.start() - start > _NEAR_PIN:
            break
        digits = digit_indexes(line, *match.span())
        if len(digits) in (5, 6, 11):
            return digits
    return ()
