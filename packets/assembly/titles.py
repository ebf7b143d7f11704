"""Titles and headings as they may be printed, listed and bookmarked.

They come from recipes, forms and file names, so a title may hold line breaks,
control characters or direction overrides that would make it read as something else.
"""

import unicodedata

_DROPPED = frozenset({"Cc", "Cf", "Cs", "Co", "Cn"})
"""General categories that print nothing or that no font can print (Unicode, chapter 4.5)."""
_JOINERS = frozenset("\u200c\u200d")
"""Format characters that several scripts need to spell a word."""


def plain_line(text: str, *, otherwise: str) -> str:
    """`text` on one line: composed (NFC), single spaces, nothing invisible; or `otherwise`."""
    spaced = " ".join(unicodedata.normalize("NFC", text).split())
    kept = "".join(
        letter
        for letter in spaced
        if letter in _JOINERS or unicodedata.category(letter) not in _DROPPED
    )
    return " ".join(kept.split()).strip("".join(_JOINERS)) or otherwise
