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
from packets.identifiers.caption_above import reach_above
from packets.identifiers.digits import fold, only_digits
from packets.identifiers.shapes import may_hold_number
from packets.reading.band_glyphs import kept_glyphs
from packets.reading.drawn_strings import DrawnStrings, Row, drawn_strings
from packets.reading.glyphs import STRUCTURED
from packets.reading.records import Band, FirstLook

_OVERLAP = 0.3
"""Share of the smaller height by which neighbours on one line overlap at least."""
_GROUP_BY_GROUP = re.compile(r"[0-9]{3}[ \t]*\n[ \t]*[0-9]{2}[ \t]*\n[ \t]*[0-9]{4}")
"""Three, two and four digits on a line each."""
_SLACK = 12.0
"""Points above and below a suspect line and its captions, so that no line is cut."""
_MOST = 0.5
"""Share of a page's height; with more of it suspect the whole page is looked at."""
_ONLY_ITS_GLYPHS = FirstLook(Secret(""), Secret(""), None)


def first_look(page: pymupdf.Page) -> FirstLook:
    """Look at the strings of a page."""
    if page.rotation:
        return _ONLY_ITS_GLYPHS
    strings = drawn_strings(page, STRUCTURED)
    return look_at(strings, page.rect.height) if strings.tell_all else _ONLY_ITS_GLYPHS


def look_at(strings: DrawnStrings, height: float) -> FirstLook:
    """The same for the strings of a page of this height, which is not rotated.

    Where a font does not tell a character, whoever looks asks for the font's own codes
    before: `first_look` does.
    """
    if not strings.to_the_right:
        return _ONLY_ITS_GLYPHS
    drawn = _folded("\n".join(row[4] for row in strings.rows))
    lines = list(_lines(strings.rows))
    texts = [_folded("\t".join(row[4] for row in line)) for line in lines]
    seen = "\n".join(texts)
    if next(broken_over_lines(seen), None) is not None or _GROUP_BY_GROUP.search(seen):
        return _ONLY_ITS_GLYPHS
    suspects = [
        Band(min(row[1] for row in line), max(row[3] for row in line))
        for line, text in zip(lines, texts, strict=True)
        if may_hold_number(text)
    ]
    if not suspects and any(map(may_hold_number, drawn.split("\n"))):
        return _ONLY_ITS_GLYPHS
    bands = list(_with_captions(suspects))
    if sum(band.bottom - band.top for band in bands) > _MOST * height:
        return _ONLY_ITS_GLYPHS
    kept = tuple(kept_glyphs(strings, band) for band in bands)
    return FirstLook(Secret(only_digits(seen)), Secret(only_digits(drawn)), kept)


def _with_captions(suspects: Sequence[Band]) -> Iterator[Band]:
    """Suspect lines with all that may stand above them as a caption; what overlaps is one."""
    joined: Band | None = None
    for line in sorted(suspects, key=lambda band: band.top):
        reach = reach_above(line.bottom - line.top)
        band = Band(line.top - reach - _SLACK, line.bottom + _SLACK)
        if joined is None:
            joined = band
        elif band.top <= joined.bottom:
            joined = Band(min(joined.top, band.top), max(joined.bottom, band.bottom))
        else:
            yield joined
            joined = band
    if joined is not None:
        yield joined


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
