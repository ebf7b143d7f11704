"""Text as a number hunter sees it: every digit script, dash and space folded to one form.

The fold keeps a map back to the original text, so that a match can be traced
to the very characters that must go.
"""

import unicodedata
from dataclasses import dataclass
from functools import lru_cache

import regex

DASHES = (
    "-\u2010\u2011\u2012\u2013\u2014\u2015\u2043\u207b\u208b\u2212"
    "\ufe58\ufe63\uff0d\u00b7\u2022\u2027\u05be\u30fc\u2500"
)
"""Hyphens, dashes, minus signs, middle dots and bullets that people put between groups."""
APOSTROPHES = "'\u2018\u2019\u201b\u02bc\u2032\u0060\u00b4\uff07"
"""What stands in `PAYER'S` on one form or another."""

_NO_DIGITS = bytes(set(range(128)) - set(b"0123456789"))
_INVISIBLE = frozenset({"Cf", "Cc", "Mn", "Me"})
_OTHER_DIGITS = (
    "".join(map(chr, range(0xE0030, 0xE003A))),
    "\u281a\u2801\u2803\u2809\u2819\u2811\u280b\u281b\u2813\u280a",
    "\u2834\u2802\u2806\u2812\u2832\u2822\u2816\u2836\u2826\u2814",
)
"""Digits that Unicode gives no value, 0 first: tags, which no page shows and every reader
copies; the upper and the lower digits of Braille."""
_BRAILLE_NUMBER_SIGN = "\u283c"
_ONE_DIGIT = range(10)
"""What a character may stand for: decimal digits of any script, and numerals of one
figure such as those of Han, Suzhou, Roman and counting-rod writing (Unicode, Numeric_Value)."""
_RAISED = "\u00b2\u00b3\u00b9\u2070\u2074-\u2079\u2080-\u2089"
_FOOTNOTE = regex.compile(rf"(?<=\d{{4}})[{_RAISED}]{{1,2}}(?!\w)")
"""A raised digit or two right behind four of full size or more: a note, no part of the number."""


@lru_cache(maxsize=4096)
def _folded_character(char: str) -> str:  # noqa: PLR0911 - one return per class of character
    if char in "\n\t\r\x0b\x0c\u2028\u2029":
        return "\t" if char == "\t" else "\n"
    if char in DASHES:
        return "-"
    if char in APOSTROPHES:
        return "'"
    for others in _OTHER_DIGITS:
        if char in others:
            return str(others.index(char))
    if char == _BRAILLE_NUMBER_SIGN:
        return ""
    category = unicodedata.category(char)
    if category in _INVISIBLE:
        return ""
    if category == "Zs":
        return " "
    value = unicodedata.numeric(char, -1)
    if value in _ONE_DIGIT:
        return str(int(value))
    compatible = unicodedata.normalize("NFKC", char)
    if len(compatible) == 1 and compatible.isascii():
        return compatible
    return char if char.isprintable() else " "


def only_digits(text: str) -> str:
    """The digits of a text, of whatever script, as ASCII and without anything between."""
    return fold(text).text.encode("ascii", "ignore").translate(None, _NO_DIGITS).decode()


@dataclass(frozen=True)
class FoldedText:
    """Folded text and, for each of its characters, the index in the original."""

    text: str
    index: "tuple[int, ...] | range"


def fold(text: str) -> FoldedText:
    """Fold digits of any script to ASCII, dashes to `-`, spaces to one space character.

    Zero-width and control characters vanish (a soft hyphen inside a number does
    not hide it); line ends become a newline; tabs stay. A footnote mark behind a
    number becomes a space, so that it does not lengthen the number.
    """
    if text.isascii() and text.replace("\n", "").replace("\t", "").isprintable():
        return FoldedText(text, range(len(text)))
    if not text.isascii():
        text = _FOOTNOTE.sub(lambda note: " " * len(note[0]), text)
    plain = {ord(char): _folded_character(char) for char in set(text)}
    folded = text.translate(plain)
    if len(folded) == len(text):
        return FoldedText(folded, range(len(text)))
    return FoldedText(folded, tuple(k for k, char in enumerate(text) if plain[ord(char)]))
