"""Every number in the text of one page, and its digits for whoever hunts known ones later."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import pymupdf

from packets.base.secret import Secret
from packets.identifiers.caption_above import reach_above
from packets.identifiers.digits import only_digits
from packets.identifiers.kinds import ALL_KINDS, MaskPolicy
from packets.masking.findings import NumberOnPage, numbers_on_page
from packets.reading.band_glyphs import band_glyphs
from packets.reading.first_look import first_look
from packets.reading.glyphs import page_glyphs
from packets.reading.records import Band, FirstLook

EVERY_KIND = MaskPolicy(kinds=ALL_KINDS)
_SLACK = 12.0
"""Points above and below a suspect line and its captions, so that no line is cut."""
_MOST = 0.5
"""Share of a page's height; with more of it suspect the whole page is looked at."""


@dataclass(frozen=True)
class PageSurvey:
    """The digits of one page, in two orders, and what the finder saw without known numbers."""

    in_lines: Secret
    as_drawn: Secret
    seen: tuple[NumberOnPage, ...]


def survey_page(page: pymupdf.Page, *, clipping: bool, look: FirstLook | None = None) -> PageSurvey:
    """Look at the strings of a page, and glyph by glyph where one of its lines may hold a number.

    `clipping`: text may be used as a clipping path only, which strings do not show.
    `look` is a first look that was taken of this page before.
    """
    look = None if clipping else look or first_look(page)
    if look is not None:
        seen = _seen_in_suspects(page, look)
        if seen is not None:
            return PageSurvey(look.in_lines, look.as_drawn, seen)
    return _looked_at_whole(page, clipping)


def _seen_in_suspects(page: pymupdf.Page, look: FirstLook) -> tuple[NumberOnPage, ...] | None:
    """Numbers in the suspect lines, or None where the whole page has to be looked at.

    So it is where the setting of a number tells something: its line is then set
    afresh in keeping with the page.
    """
    bands = list(_with_captions(look.suspects))
    if sum(band.bottom - band.top for band in bands) > _MOST * page.rect.height:
        return None
    seen: list[NumberOnPage] = []
    for band in bands:
        glyphs = band_glyphs(page, band.top, band.bottom)
        if glyphs is None:
            return None
        seen.extend(numbers_on_page(page, glyphs, (), EVERY_KIND))
    return None if any(number.setting is not None for number in seen) else tuple(seen)


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


def _looked_at_whole(page: pymupdf.Page, clipping: bool) -> PageSurvey:
    glyphs = page_glyphs(page, clipping=clipping)
    lines: list[str] = []
    for sheet in glyphs.sheets:
        ordered = sorted(sheet, key=lambda run: (round(run.bottom), run.x0[0]))
        lines.append("".join(run.text for run in ordered))
    seen = numbers_on_page(page, glyphs, (), EVERY_KIND)
    return PageSurvey(Secret(only_digits("".join(lines))), Secret(only_digits(glyphs.drawn)), seen)
