"""Patterns with `*`, the only wildcard a recipe knows: it stands for any rest, also none.

`?` and `[...]` mean themselves. Both functions take time proportional to the
product of the two lengths, whatever a file holds.
"""

from collections.abc import Iterable


def matches(pattern: str, word: str) -> bool:
    """Whether the whole word fits the pattern."""
    return _reaches(pattern, word.replace("*", "\0"))  # a star in a word is only a mark


def first_match(patterns: Iterable[str], word: str) -> str | None:
    """The first pattern that the word fits, or None."""
    return next((pattern for pattern in patterns if matches(pattern, word)), None)


def overlap(one: str, other: str) -> bool:
    """Whether some word fits both patterns; either may hold `*`."""
    return _reaches(one, other)


def _reaches(one: str, other: str) -> bool:
    """Walk both patterns at once; `open_places` are the places of `other` reached so far."""
    if "*" not in one and "*" not in other:
        return one == other
    open_places = _past_stars({0}, other)
    for mark in one:
        if mark == "*":
            open_places = set(range(min(open_places), len(other) + 1)) if open_places else set()
            continue
        reached = set()
        for place in open_places:
            if place < len(other) and other[place] == "*":
                reached.add(place)
            elif place < len(other) and other[place] == mark:
                reached.add(place + 1)
        open_places = _past_stars(reached, other)
    return len(other) in open_places


def _past_stars(places: set[int], pattern: str) -> set[int]:
    """The same places, and those behind stars, which may stand for nothing."""
    beyond = set(places)
    for place in places:
        after = place
        while after < len(pattern) and pattern[after] == "*":
            after += 1
            beyond.add(after)
    return beyond
