"""Names that may hold a number, replaced by names that cannot."""

import re
from dataclasses import dataclass, field

_PREFIX = "/Renamed"
_FOUR = re.compile(r"[0-9](?:[^0-9A-Za-z]?[0-9]){3,}")


def holds_digits(name: str) -> bool:
    """Whether a name holds four or more digits in a row, marks between them or not."""
    return _FOUR.search(name) is not None


def without_digits(name: str) -> str:
    """The name without its runs of four or more digits."""
    return _FOUR.sub("x", name)


@dataclass
class Renaming:
    """New names for one document: the same old name always gets the same new one."""

    _given: dict[str, str] = field(default_factory=dict)

    def of(self, name: str) -> str:
        """The name itself, or another where it holds digits (or looks like one of ours)."""
        if not holds_digits(name) and not name.startswith(_PREFIX):
            return name
        if name not in self._given:
            self._given[name] = _PREFIX + _letters(len(self._given))
        return self._given[name]


def _letters(number: int) -> str:
    text = ""
    number += 1
    while number:
        number, digit = divmod(number - 1, 26)
        text = chr(ord("A") + digit) + text
    return text
