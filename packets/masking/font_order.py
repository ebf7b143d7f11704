"""The order of a font's codes and glyphs, where it could tell what was written first.

Many programs number the characters of a font as they come to be used. Such a
numbering is replaced by the order of the characters themselves, without holes
where a character went. A numbering that comes from the face, or from a
standard encoding, tells nothing and stays.
"""

import re
from collections.abc import Collection, Iterable, Mapping

Order = tuple[int, str, bytes]
_LOWEST = 4
"""Numberings by use start here at most; glyphs for what is missing come before."""
_FEW_LETTERS = 6
"""With so many letters in order beside the digits nobody wrote them in that order by chance."""
_LAST_NUMBER = re.compile(r"([0-9]+)[^0-9]*$")


def order_of(text: str, outline: bytes) -> Order:
    """A sort key: by character; what stands for none, behind, by its outline."""
    return (0, text, outline) if text else (1, "", outline)


def is_in_order(texts: Mapping[int, str]) -> bool:
    """Whether the Latin letters and digits are numbered in their own order."""
    listed = [text for _, text in sorted(texts.items()) if _is_plain(text)]
    return listed == sorted(listed)


def is_dense(numbers: Collection[int]) -> bool:
    """Whether every number from a low one on is taken."""
    return bool(numbers) and min(numbers) <= _LOWEST and max(numbers) - min(numbers) < len(numbers)


def may_be_by_use(texts: Mapping[int, str], gone: Collection[int]) -> bool:
    """Whether glyphs may have been numbered as they were used. `texts` leaves out `gone`."""
    return not is_in_order(texts) or is_dense({*texts, *gone})


def shows_use(texts: Mapping[int, str]) -> bool:
    """The same of a font that still uses all of its digits, and needs no change otherwise."""
    letters = {text for text in texts.values() if _is_plain(text) and text.isalpha()}
    return not is_in_order(texts) or (is_dense(texts) and len(letters) < _FEW_LETTERS)


def is_own_encoding(texts: Mapping[int, str], *, doubtful: bool) -> bool:
    """Whether codes of a simple font are not those of the standard encodings.

    Codes that stand for nothing known are its own where the font is `doubtful`,
    or has no others.
    """
    plain = {code: text for code, text in texts.items() if _is_plain(text)}
    if (doubtful or not plain) and not all(texts.values()):
        return True
    return any(ord(text) != code for code, text in plain.items())


def arranged(orders: Mapping[int, Order], gone: Iterable[int]) -> dict[int, int]:
    """Number -> new number: the same numbers handed out in order, the last ones left free."""
    free = sorted({*orders, *gone})
    ordered = sorted(orders, key=lambda number: (orders[number], number))
    return dict(zip(ordered, free, strict=False))


def renamed(names: Mapping[str, Order], gone: Collection[str]) -> dict[str, str]:
    """New names for those that only count, handed out likewise; none where they count by face."""
    numbers = {name: _number_in(name) for name in {*names, *gone}}
    texts = {numbers[name]: order[1] for name, order in names.items()}
    distinct = len(set(numbers.values())) == len(numbers)
    if distinct and not may_be_by_use(texts, [numbers[name] for name in gone]):
        return {}
    free = sorted({*names, *gone}, key=lambda name: (numbers[name], name))
    ordered = sorted(names, key=lambda name: (names[name], numbers[name], name))
    return dict(zip(ordered, free, strict=False))


def _number_in(name: str) -> int:
    found = _LAST_NUMBER.search(name)
    return int(found[1]) if found else -1


def _is_plain(text: str) -> bool:
    return len(text) == 1 and text.isascii() and text.isalnum()
