"""A fault tied to a key of a file, and how keys and words are shown in messages."""

import difflib
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from packets.base.errors import Fault

KeyPath = tuple[str | int, ...]
"""Keys and list positions from the top of the file: `("part", 2, "take", 0)`."""

_BARE_KEY = re.compile(r"[A-Za-z0-9_-]{1,60}")
_LONGEST_COMPARED = 60
_MANY_DIGITS = 4
"""This many digits or more may be part of a taxpayer or account number: never shown."""


@dataclass(frozen=True)
class KeyFault:
    """One thing wrong at one key, before its line in the file is looked up.

    No text in here may hold a value of the file, only words of our own.
    """

    at: KeyPath
    what: str
    allowed: str = ""
    nearest: str = ""

    def placed(self, lines: Mapping[KeyPath, int]) -> Fault:
        """The same fault with its line: that of the key, or of the table around it."""
        key = dotted(self.at)
        where = f"line {line_of(self.at, lines)}" + (f", {key}" if key else "")
        return Fault(where=where, what=self.what, allowed=self.allowed, nearest=self.nearest)


def line_of(path: KeyPath, lines: Mapping[KeyPath, int]) -> int:
    """Line of a key, or of the nearest table or list around it; 1 at the top of the file."""
    for length in range(len(path), 0, -1):
        if path[:length] in lines:
            return lines[path[:length]]
    return 1


def dotted(path: KeyPath) -> str:
    """`part[2].take[0]`; positions count from 0. A key rich in digits is not repeated."""
    text = ""
    for step in path:
        if isinstance(step, int):
            text += f"[{step}]"
        else:
            text += ("." if text else "") + _shown_key(step)
    return text


def _shown_key(key: str) -> str:
    if digit_count(key) >= _MANY_DIGITS:
        return "(a key with many digits, not repeated here)"
    if _BARE_KEY.fullmatch(key):
        return key
    visible = "".join(mark if mark.isprintable() else "?" for mark in key[:_LONGEST_COMPARED])
    return f'"{visible}"'


def digit_count(text: str) -> int:
    """How many digits of any script a text holds."""
    return sum(mark.isdigit() for mark in text)


def nearest_word(word: str, choices: Iterable[str]) -> str:
    """The one of `choices` most like `word`, or an empty text when none is."""
    if len(word) > _LONGEST_COMPARED:
        return ""
    found = difflib.get_close_matches(word.lower(), list(choices), n=1, cutoff=0.6)
    return found[0] if found else ""


def word_list(words: Iterable[str]) -> str:
    """Words in their own order, with commas, for `allowed`."""
    return ", ".join(words)
