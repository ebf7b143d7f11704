"""Text that stands where a picture shows a number: it goes with the number.

A scanner lays what it has read beneath or over the picture, as text that nobody
sees and everybody can copy. Where it has read a number rightly, the number is found
there and masked like any other. Where it has read `666-l2-34S6`, no rule knows it
for a number, and it still tells every digit.
"""

from collections.abc import Iterator, Mapping, Sequence

import pymupdf

from packets.base.geometry import Box
from packets.masking.findings import TextFinding
from packets.masking.picture_masking import PictureFinding, number_places
from packets.masking.picture_survey import PictureSurvey
from packets.masking.user_space import moved, unrotated
from packets.reading.glyphs import Glyph, PageGlyphs, page_glyphs, shown_box
from packets.reading.pictures import placed_pictures

PictureWork = tuple[PictureSurvey, Sequence[PictureFinding]]
_AROUND = 0.4
"""Heights of the number by which text over it may stand aside."""
_SAME_LINE, _GAP = 0.3, 0.15
"""Type sizes by which glyphs of one word may stand apart, across and along their line."""


def text_over_pictures(
    document: pymupdf.Document,
    pages: Sequence[int],
    pictures: Sequence[PictureWork],
    found: Mapping[int, Sequence[TextFinding]],
    mask: str,
    *,
    clipping: bool,
) -> dict[int, tuple[TextFinding, ...]]:
    """`found`, by page from 0, together with the text that lies over numbers in pictures."""
    together = {number: tuple(findings) for number, findings in found.items()}
    for number in dict.fromkeys(pages):
        here = [work for work in pictures if number in work[0].pages]
        if not here:
            continue
        page = document[number]
        over = tuple(_on_page(page, here, together.get(number, ()), mask, clipping=clipping))
        if over:
            together[number] = (*together.get(number, ()), *over)
    return together


def _on_page(
    page: pymupdf.Page,
    pictures: Sequence[PictureWork],
    found: Sequence[TextFinding],
    mask: str,
    *,
    clipping: bool,
) -> Iterator[TextFinding]:
    read = page_glyphs(page, clipping=clipping)
    words = list(_words(read))
    if not words:
        return
    told = [finding.place for finding in found]
    placed = placed_pictures(page)
    for survey, findings in pictures:
        for finding, place in number_places(survey, findings, placed):
            yield from _over(page, words, finding, place, told, mask)


def _words(read: PageGlyphs) -> Iterator[list[Glyph]]:
    """Glyphs that were drawn one after the other, without a gap between."""
    word: list[Glyph] = []
    for at, char in enumerate(read.drawn):
        if char.isspace():
            continue
        glyph = read[at]
        if word and not _follows(word[-1], glyph, parted=read.drawn[at - 1].isspace()):
            yield word
            word = []
        word.append(glyph)
    if word:
        yield word


def _follows(one: Glyph, other: Glyph, *, parted: bool) -> bool:
    cosine, sine = one.direction
    x, y = other.origin[0] - one.origin[0], other.origin[1] - one.origin[1]
    ahead, aside = x * cosine + y * sine, y * cosine - x * sine
    near = abs(aside) < _SAME_LINE * one.size and ahead < one.advance + _GAP * one.size
    return near and not parted and ahead >= 0


def _over(
    page: pymupdf.Page,
    words: Sequence[list[Glyph]],
    finding: PictureFinding,
    place: Box,
    told: Sequence[Box],
    mask: str,
) -> Iterator[TextFinding]:
    """Every word that reaches into `place` and is no part of a number that was found."""
    area = place.grown(_AROUND * min(place.width, place.height))
    to_pdf = ~unrotated(page)
    for word in words:
        if not any(_stands_in(page, glyph, [area]) for glyph in word):
            continue
        left = [glyph for glyph in word if not _stands_in(page, glyph, told)]
        going = [glyph for glyph in left if glyph.char.isalnum()]
        if going:
            yield TextFinding(
                finding.kind,
                "".join(mask if glyph.char.isalnum() else glyph.char for glyph in left),
                shown_box(page, [glyph.box for glyph in going]),
                tuple(going),
                tuple(moved(glyph.origin, to_pdf) for glyph in going),
                mask,
                range(len(going)),
            )


def _stands_in(page: pymupdf.Page, glyph: Glyph, boxes: Sequence[Box]) -> bool:
    """Whether a glyph stands in one of the boxes (page as shown), by any of its points.

    The middle of squeezed or stretched type is not where its box says.
    """
    x0, y0, x1, y1 = glyph.box
    points = (glyph.origin, glyph.middle, ((x0 + x1) / 2, (y0 + y1) / 2))
    shown = [moved(point, page.rotation_matrix) for point in points]
    return any(box.holds(x, y) for box in boxes for x, y in shown)
