"""Kinds of numbers as a preparer says them."""

from collections import Counter
from collections.abc import Iterable

from packets.cli.plain_text import count_of

_WORDS = {
    "ssn": "Social Security number",
    "itin": "ITIN",
    "atin": "ATIN",
    "ein": "EIN",
    "account": "account number",
    "card": "card number",
    "ip-pin": "identity or signing PIN",
    "region": "blanked region",
}


def kinds_in_words(kinds: Iterable[str]) -> list[str]:
    """`3 Social Security numbers`, `1 ITIN`: counted, most frequent first."""
    counted = sorted(Counter(kinds).items(), key=lambda item: (-item[1], item[0]))
    return [count_of(number, kind_in_words(kind)) for kind, number in counted]


def kind_in_words(kind: str) -> str:
    """`Social Security number` for `ssn`; an unknown kind stays as it is."""
    return _WORDS.get(kind, kind)
