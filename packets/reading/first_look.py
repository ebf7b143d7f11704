"""A cheap first look at a page: which of its lines may hold a number at all.

Places of single glyphs cost ten times what strings cost, and most lines of a
return hold words and amounts. The first look reads strings; where anything about
a page is unusual it says so, and the whole page is looked at glyph by glyph.
"""

import re
from collections.abc import Iterator, Sequence
from operator import itemgetter

import pymupdf

from packets.base.secret import Secret
from packets.identifiers.broken_lines import broken_over_lines
from packets.identifiers.digits import fold, only_digits
from packets.identifiers.shapes import may_hold_number
from packets.reading.drawn_strings import DrawnStrings, Row, drawn_strings
from packets.reading.glyphs import STRUCTURED
from packets.reading.records import Band, FirstLook

_OVERLAP = 0.3
"""Share of the smaller height by which neighbours on one line overlap at least."""
_GROUP_BY_GROUP = re.compile(r"[0-9]{3}[ \t]*\n[ \t]*[0-9]{2}[ \t]*\n[ \t]*[0-9]{4}")
"""Three, two and four digits on a line each."""


def first_look(page: pymupdf.Page) -> FirstLook | None:
    """Look at the strings of a page; None where only its glyphs can tell."""
    return None if page.rotation else look_at(drawn_strings(page, STRUCTURED))


def look_at(strings: DrawnStrings) -> FirstLook | None:
    """The same for a page that is not rotated and whose strings were asked for already.

    Where a font does not tell a character it is None: whoever looks again asks for
    the font's own codes.
    """
    if not strings.to_the_right:
        return None
    drawn = "\n".join(row[4] for row in strings.rows)
    if "\ufffd" in drawn:
        return None
    lines = list(_lines(strings.rows))
    texts = [_folded("\t".join(row[4] for row in line)) for line in lines]
    seen = "\n".join(texts)
    if next(broken_over_lines(seen), None) is not None or _GROUP_BY_GROUP.search(seen):
        return None
    suspects = tuple(
        Band(min(row[1] for row in line), max(row[3] for row in line))
        for line, text in zip(lines, texts, strict=True)
        if may_hold_number(text)
    )
    as_drawn = _folded(drawn)
    if not suspects and any(map(may_hold_number, as_drawn.split("\n"))):
        return None
    return FirstLook(Secret(only_digits(seen)), Secret(only_digits(as_drawn)), suspects)


def _lines(rows: Sequence[Row]) -> Iterator[list[Row]]:
    """Rows whose heights overlap, from top to bottom, each line from left to right."""
    line: list[Row] = []
    for row in sorted(rows, key=lambda row: row[1] + row[3]):
        if line and not _beside(line[-1], row):
            yield sorted(line, key=itemgetter(0)) if len(line) > 1 else line
            line = []
        line.append(row)
    if line:
        yield sorted(line, key=itemgetter(0))


def _beside(one: Row, other: Row) -> bool:
    _, top, _, bottom, _ = one
    _, above, _, below, _ = other
    shared = min(bottom, below) - max(top, above)
    return shared > _OVERLAP * min(bottom - top, below - above)


def _folded(text: str) -> str:
    return text if text.isascii() else fold(text).text
