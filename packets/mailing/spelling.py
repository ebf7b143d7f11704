"""Characters as they are said over the telephone.

Letters by the words of the radiotelephony alphabet (ICAO Annex 10, Volume II, 5.2.1.3;
ITU Radio Regulations, Appendix 14), digits and signs by their names.
"""

import unicodedata

_LETTERS = {
    "a": "Alfa",
    "b": "Bravo",
    "c": "Charlie",
    "d": "Delta",
    "e": "Echo",
    "f": "Foxtrot",
    "g": "Golf",
    "h": "Hotel",
    "i": "India",
    "j": "Juliett",
    "k": "Kilo",
    "l": "Lima",
    "m": "Mike",
    "n": "November",
    "o": "Oscar",
    "p": "Papa",
    "q": "Quebec",
    "r": "Romeo",
    "s": "Sierra",
    "t": "Tango",
    "u": "Uniform",
    "v": "Victor",
    "w": "Whiskey",
    "x": "X-ray",
    "y": "Yankee",
    "z": "Zulu",
}
_DIGITS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
_SIGNS = {
    " ": "space",
    "-": "hyphen",
    "_": "underscore",
    ".": "full stop",
    ",": "comma",
    "'": "apostrophe",
    "/": "slash",
    "\\": "backslash",
    "&": "ampersand",
    "@": "at sign",
    "#": "number sign",
    "+": "plus",
}


def spelled(character: str) -> str:
    """`Charlie` for c, `capital Charlie` for C, `seven` for 7, `hyphen`; others by Unicode name."""
    if character in _LETTERS:
        return _LETTERS[character]
    if character.lower() in _LETTERS:
        return f"capital {_LETTERS[character.lower()]}"
    if character in "0123456789":
        return _DIGITS[int(character)]
    return _SIGNS.get(character) or unicodedata.name(character, "unnamed sign").lower()


def in_groups(passphrase: str) -> tuple[str, ...]:
    """The passphrase cut into words and what stands between them, in order, nothing left out."""
    groups: list[str] = []
    word = ""
    for character in passphrase:
        if character.isalnum():
            word += character
            continue
        groups += [word, character] if word else [character]
        word = ""
    return tuple([*groups, word] if word else groups)
