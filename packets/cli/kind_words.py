"""Kinds of numbers, counted, as a preparer says them."""

from collections import Counter
from collections.abc import Iterable

from packets.cli.plain_text import count_of
from packets.identifiers.kind_words import kind_in_words


def kinds_in_words(kinds: Iterable[str]) -> list[str]:
    """`3 Social Security numbers`, `1 ITIN`: counted, most frequent first."""
    counted = sorted(Counter(kinds).items(), key=lambda item: (-item[1], item[0]))
    return [count_of(number, kind_in_words(kind)) for kind, number in counted]
