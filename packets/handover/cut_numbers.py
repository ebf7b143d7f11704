"""Numbers that a region would cut through, or whose label it would take away.

A region hides what lies in it; of a number that lies in it with some digits only, the
others would stay, and no rule would know them for a part of a number any more. So every
number that was there before must have gone whole, or be seen afterwards as before.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import pymupdf

from packets.base.geometry import Box
from packets.identifiers.kinds import KnownNumber, MaskPolicy
from packets.intake.page_corrections import Region
from packets.masking.findings import NumberOnPage, numbers_on_page
from packets.masking.survey import Survey, open_for_reading
from packets.masking.user_space import as_shown
from packets.reading.glyphs import page_glyphs
from packets.reading.pictures import placed_pictures

_RIM = 1.0
"""Points by which ink may reach beyond a region that holds it."""
_TOUCH = 0.5
"""Points by which a region may reach into a box and still cut nothing."""
_SAME_PLACE = 2.0
"""Points by which a number may have moved when the page was written anew."""
CUT = (
    "a region that was to be blanked takes away a part of a number, or what tells that it is "
    "one: draw it around the whole number, or beside it"
)


@dataclass(frozen=True)
class Sight:
    """A flattened document and what the survey saw in it."""

    pdf: bytes = field(repr=False)
    survey: Survey = field(repr=False)


def cut_numbers(
    before: Sight,
    after: Sight,
    regions: Sequence[Region],
    known: Sequence[KnownNumber],
    policy: MaskPolicy,
) -> Iterator[str]:
    """Pages on which a number was there `before` the regions and is cut `after`, in words."""
    one, other = open_for_reading(before.pdf), open_for_reading(after.pdf)
    try:
        for number in sorted({region.page for region in regions}):
            boxes = [region.box for region in regions if region.page == number]
            then = _Page(one[number - 1], before.survey, known, policy)
            now = _Page(other[number - 1], after.survey, known, policy)
            if _text_cut(then, now, boxes) or _ink_cut(then, now, boxes):
                yield f"page {number}: {CUT}"
    finally:
        one.close()
        other.close()


class _Page:
    """Everything on one page that would be masked."""

    def __init__(
        self,
        page: pymupdf.Page,
        survey: Survey,
        known: Sequence[KnownNumber],
        policy: MaskPolicy,
    ) -> None:
        self.turn = as_shown(page)
        glyphs = page_glyphs(page, clipping=survey.clipping)
        self.text = numbers_on_page(page, glyphs, known, policy)
        self.ink = tuple(_ink_places(page, survey, known, policy))


def _ink_places(
    page: pymupdf.Page, survey: Survey, known: Sequence[KnownNumber], policy: MaskPolicy
) -> Iterator[Box]:
    """Numbers and codes in pictures and drawn ink, as shown."""
    from packets.masking.drawn_findings import drawn_findings  # noqa: PLC0415 - most hide nothing
    from packets.masking.picture_masking import (  # noqa: PLC0415
        masked_records,
        number_places,
        picture_findings,
    )

    number = page.number
    placed = placed_pictures(page)
    for picture in survey.pictures:
        if number in picture.pages:
            found = picture_findings(picture, known, policy)
            yield from (place for _, place in number_places(picture, found, placed))
            codes = [finding for finding in found if finding.barcode]
            yield from (record.place for record in masked_records(picture, codes))
    for drawn in survey.drawn:
        if drawn.page == number:
            yield from (finding.place for finding in drawn_findings(drawn, known, policy))


def _text_cut(then: _Page, now: _Page, boxes: Sequence[Box]) -> bool:
    return any(
        not _gone_whole(number, then.turn, boxes)
        and not any(_same_number(number, other) for other in now.text)
        for number in then.text
    )


def _gone_whole(number: NumberOnPage, turn: pymupdf.Matrix, boxes: Sequence[Box]) -> bool:
    """Whether the middle of each of its glyphs lies in a region."""
    for cell in number.cells:
        for glyph in cell:
            x0, y0, x1, y1 = glyph.box
            point = pymupdf.Point((x0 + x1) / 2, (y0 + y1) / 2) * turn
            if not any(box.holds(point.x, point.y) for box in boxes):
                return False
    return True


def _same_number(one: NumberOnPage, other: NumberOnPage) -> bool:
    near = one.place.grown(_SAME_PLACE)
    return one.digits.reveal() == other.digits.reveal() and other.place.lies_in(near)


def _ink_cut(then: _Page, now: _Page, boxes: Sequence[Box]) -> bool:
    for place in then.ink:
        if any(place.lies_in(box.grown(_RIM)) for box in boxes):
            continue
        if any(_reaches(box, place) for box in boxes):
            return True
        if not any(place.overlaps(other) for other in now.ink):
            return True
    return False


def _reaches(box: Box, place: Box) -> bool:
    across = min(box.x1, place.x1) - max(box.x0, place.x0)
    down = min(box.y1, place.y1) - max(box.y0, place.y0)
    return across > _TOUCH and down > _TOUCH
