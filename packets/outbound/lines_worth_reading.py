"""The lines of a text that could hold a number: most lines of a return hold words and amounts.

Leaving the others out makes the check several times faster. Known numbers in
pieces all over a text are the crude scan's business, which sees the whole.
"""

import re
from collections.abc import Iterator

_FAMILIAR = re.compile("[\x00-\x7f\xa0-\xb1\xb4-\xb8\xba-\xff\u2010-\u2027\u2032-\u205e]*")
"""ASCII, Latin letters, dashes and punctuation: no digit of another script among them."""
_AMOUNT = re.compile(r"[0-9](?<![\d.,/-][0-9])[0-9]{0,2}(?:,[0-9]{3}){0,4}\.[0-9][0-9](?![\d.,/-])")
_NEIGHBOURS = re.compile(r"[0-9](?:[^0-9A-Za-z\n]{0,8}[0-9]){4}")
"""Five digits with no letter between: the least that any rule takes for a number."""
_DASH_AT_END = re.compile(r"\d *- *$")
_LIKE_DASHED = re.compile(r"\w{3} ?- ?\w{2} ?- ?\w{4}")
"""Some of these nine may be letters that are taken for digits."""
_LINES_ABOVE = 4


def worth_reading(text: str) -> str:
    """The lines of `text` that could hold a number, with the lines above them for their labels."""
    if not (text.isascii() or _FAMILIAR.fullmatch(text)):
        return text
    without_amounts = _AMOUNT.sub(" ", text)
    kept: set[int] = set()
    for at in (*_with_neighbours(without_amounts), *_with_dashes(without_amounts)):
        kept.update(range(max(0, at - _LINES_ABOVE), at + 2))
    if not kept:
        return ""
    return "\n".join(line for at, line in enumerate(text.split("\n")) if at in kept)


def _with_neighbours(text: str) -> Iterator[int]:
    """Numbers from 0 of the lines with several digits close together; no match leaves its line."""
    line = seen = 0
    for match in _NEIGHBOURS.finditer(text):
        line += text.count("\n", seen, match.start())
        seen = match.start()
        yield line


def _with_dashes(text: str) -> Iterator[int]:
    """Numbers from 0 of the lines with a dash where a number may have one."""
    line = seen = 0
    dash = text.find("-")
    while dash >= 0:
        first = text.rfind("\n", seen, dash) + 1 or seen
        line += text.count("\n", seen, first)
        seen, end = first, text.find("\n", dash)
        shown = text[first:end] if end >= 0 else text[first:]
        if _DASH_AT_END.search(shown) or _LIKE_DASHED.search(shown):
            yield line
        dash = text.find("-", end) if end >= 0 else -1
