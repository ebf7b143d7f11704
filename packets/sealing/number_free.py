"""Keeping full numbers out of what sealing writes for people: names, manifest, ledger.

A crude net of its own: it knows only the shapes of nine digits (3-2-4, 2-7, nine
or more in a row) in any digit script, and no ranges. A source file may be called
by a taxpayer number; the manifest then shows that name with its last four only.
"""

import re

_SHAPE = re.compile(
    r"(?<!\d)(?:\d{9,}|\d{3}[\W_]{1,3}\d{2}[\W_]{1,3}\d{4}|\d{2}[\W_]{1,3}\d{7})(?!\d)"
)
_SHOWN_DIGITS = 4


def holds_number(text: str) -> bool:
    """Whether `text` holds nine digits in a row, or digits grouped as 3-2-4 or 2-7."""
    return _SHAPE.search(text) is not None


def without_numbers(text: str) -> str:
    """`text` with every shaped number cut to its last four digits; separators stay.

    The replacement is X, as 26 CFR 301.6109-4(a) has it. A text without such a
    shape comes back as it is; doing it twice changes nothing.
    """
    return _SHAPE.sub(lambda found: _last_four(found.group()), text)


def _last_four(shaped: str) -> str:
    digits = sum(character.isdecimal() for character in shaped)
    shown = []
    for character in shaped:
        if character.isdecimal():
            shown.append("X" if digits > _SHOWN_DIGITS else character)
            digits -= 1
        else:
            shown.append(character)
    return "".join(shown)


def plain_text(text: str) -> str:
    """`text` fit for UTF-8 JSON: numbers cut, undecodable file name bytes shown as `\\xNN`."""
    whole = text.encode("utf-8", "surrogateescape").decode("utf-8", "backslashreplace")
    return without_numbers(whole)
