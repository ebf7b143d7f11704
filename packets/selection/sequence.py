"""In which order federal forms ask to be assembled.

Form 1040 instructions, "Assemble Your Return": Form 1040 first, then schedules and
forms by the attachment sequence number in their upper right corner, then
supporting statements in the same order as the forms they belong to.
"""

import re

from packets.recipe.patterns import first_match

MAIN_FORMS = (
    "form-1040",
    "form-1040-sr",
    "form-1040-nr",
    "form-1040-ss",
    "form-1040-pr",
    "form-1040-x",
    "form-1041",
    "form-1065",
    "form-1120",
    "form-1120-s",
)
"""The returns themselves. They carry no sequence number and go first."""
STATEMENTS = ("statement*", "supporting-*")

_NUMBER = re.compile(r"\s*([0-9]{1,4})\s*([A-Za-z]{0,2})\s*")
_LAST = (10**6, "")

SequenceKey = tuple[int, tuple[int, str]]
"""Which group (return, numbered, other forms, statements), then number and letter."""


def parse_sequence(sequence: str) -> tuple[int, str] | None:
    """`08` is (8, ""), `12A` is (12, "A"); None for anything else.

    As numbers and letters: 1 < 1A < 2, 12 < 12A < 13, 55 < 55A.
    """
    found = _NUMBER.fullmatch(sequence)
    return (int(found.group(1)), found.group(2).upper()) if found else None


def sequence_key(category: str, sequence: str) -> SequenceKey:
    """Sort key of a form. Forms of the same key keep the order in which they came."""
    number = parse_sequence(sequence)
    if category in MAIN_FORMS:
        return (0, (0, ""))
    if first_match(STATEMENTS, category) is not None:
        return (3, number or _LAST)
    return (1, number) if number is not None else (2, _LAST)
