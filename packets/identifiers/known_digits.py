"""Hunting known numbers by their digits alone, whatever stands between them."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

import regex

from packets.identifiers.kinds import KnownNumber
from packets.identifiers.records import Sureness, TextMatch

_LONG = 9
"""From this many digits on, a chance meeting of digits is so rare that anything may lie between."""
_AMOUNT = regex.compile(r"[0-9]{1,3}(?:,[0-9]{3})+|[0-9][0-9,]*\.[0-9]{1,2}")
"""Digits of a short known number written so are an amount that happens to have them."""


def hunt(text: str, known: Sequence[KnownNumber]) -> Iterator[TextMatch]:
    """Known numbers in folded `text`: in any grouping, across lines, columns and words.

    Numbers of nine or more digits are found with anything between their digits.
    Shorter ones, and those that count up or down like the line numbers of a form,
    must stand together: only spaces, dashes and marks between, and not as an
    amount is written.
    """
    if not known:
        return
    places = [i for i, char in enumerate(text) if char in "0123456789"]
    digits = "".join(text[i] for i in places)
    for number in known:
        wanted = number.digits.reveal()
        at = digits.find(wanted) if wanted else -1
        while at >= 0:
            found = tuple(places[at : at + len(wanted)])
            anything_between = len(wanted) >= _LONG and not _is_ruler(wanted)
            if anything_between or stands_alone(text, found):
                yield TextMatch(number.kind, found, Sureness.KNOWN, number.given)
            at = digits.find(wanted, at + 1)


def _is_ruler(digits: str) -> bool:
    """Whether each digit is one more, or each one less, than the one before."""
    steps = {int(after) - int(before) for before, after in pairwise(digits)}
    return steps in ({1}, {-1})


def stands_alone(text: str, found: tuple[int, ...]) -> bool:
    """Whether digits stand together as one number, and not as an amount."""
    for left, right in pairwise(found):
        between = text[left + 1 : right]
        if len(between) > 3 or any(char.isalnum() or char == "\n" for char in between):
            return False
    start, end = found[0], found[-1] + 1
    if text[max(0, start - 1) : start].isdigit() or text[end : end + 1].isdigit():
        return False
    return not _AMOUNT.fullmatch(text, start, end)
