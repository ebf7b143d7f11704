"""Every number in the text of one page, and its digits for whoever hunts known ones later."""

from dataclasses import dataclass

import pymupdf

from packets.base.secret import Secret
from packets.identifiers.digits import only_digits
from packets.identifiers.kinds import ALL_KINDS, MaskPolicy
from packets.masking.findings import NumberOnPage, numbers_on_page
from packets.reading.band_glyphs import glyphs_of
from packets.reading.first_look import first_look
from packets.reading.glyphs import page_glyphs
from packets.reading.records import FirstLook

EVERY_KIND = MaskPolicy(kinds=ALL_KINDS)


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
    if not clipping:
        look = look or first_look(page)
        seen = _seen_in_suspects(page, look)
        if seen is not None:
            return PageSurvey(look.in_lines, look.as_drawn, seen)
    return _looked_at_whole(page, clipping)


def _seen_in_suspects(page: pymupdf.Page, look: FirstLook) -> tuple[NumberOnPage, ...] | None:
    """Numbers in the suspect lines, or None where the whole page has to be looked at.

    So it is where the setting of a number tells something: its line is then set
    afresh in keeping with the page.
    """
    if look.suspects is None:
        return None
    seen: list[NumberOnPage] = []
    for band in look.suspects:
        seen.extend(numbers_on_page(page, glyphs_of(band), (), EVERY_KIND))
    return None if any(number.setting is not None for number in seen) else tuple(seen)


def _looked_at_whole(page: pymupdf.Page, clipping: bool) -> PageSurvey:
    glyphs = page_glyphs(page, clipping=clipping)
    lines: list[str] = []
    for sheet in glyphs.sheets:
        ordered = sorted(sheet, key=lambda run: (round(run.bottom), run.x0[0]))
        lines.append("".join(run.text for run in ordered))
    seen = numbers_on_page(page, glyphs, (), EVERY_KIND)
    return PageSurvey(Secret(only_digits("".join(lines))), Secret(only_digits(glyphs.drawn)), seen)
