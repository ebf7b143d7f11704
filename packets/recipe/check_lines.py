"""Printed lines that could never be found, or that say half of what they must."""

import unicodedata
from collections.abc import Iterator

from packets.recipe.draft import PlacedText, TomlTable, draft_lines
from packets.recipe.key_faults import KeyFault

LEAST_LETTERS = 4
"""Letters and digits of a label; fewer stand on every page by chance."""
STACK, MORE = "/", "..."
_NO_LETTER = bytes(set(range(128)) - set(b"abcdefghijklmnopqrstuvwxyz0123456789"))


def label_letters(words: str) -> str:
    """The letters and digits of a label, in small letters: what is compared with a page."""
    if words.isascii():
        return words.lower().encode().translate(None, _NO_LETTER).decode()
    folded = unicodedata.normalize("NFKC", words).casefold()
    return "".join(filter(str.isalnum, folded))


def check_lines(recipe: TomlTable) -> Iterator[KeyFault]:
    """Labels without letters, and keys of a date that nothing leads to."""
    for line in draft_lines(recipe):
        for label in line.labels:
            yield from _label(label)
        if not line.dated:
            for at in line.date_keys:
                yield KeyFault(at, "without date_labels nothing leads to a date")


def _label(placed: PlacedText) -> Iterator[KeyFault]:
    for row in placed.text.removesuffix(MORE).split(STACK):
        if len(label_letters(row)) < LEAST_LETTERS:
            yield KeyFault(
                placed.at,
                f"these are fewer than {LEAST_LETTERS} letters to look for",
                "words as they are printed beside the line",
            )
            return
