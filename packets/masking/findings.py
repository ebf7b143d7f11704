"""What stands on one page as a number, and what of it is to be masked."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

import pymupdf

from packets.base.geometry import Box
from packets.base.secret import Secret
from packets.identifiers.digits import fold
from packets.identifiers.kinds import Kind, KnownNumber, MaskPolicy
from packets.identifiers.layout import GlyphMatch, find_on_page
from packets.identifiers.masked import hidden_positions
from packets.identifiers.records import Sureness
from packets.masking.type_setting import Setting, setting_of
from packets.masking.user_space import Point, moved, unrotated
from packets.reading.glyphs import Glyph, PageGlyphs, shown_box


@dataclass(frozen=True)
class NumberOnPage:
    """One number in the text of a page."""

    kind: Kind
    digits: Secret
    sureness: Sureness
    cells: tuple[tuple[Glyph, ...], ...] = field(repr=False)
    """The glyphs of each digit: one, or several printed over one another."""
    origins: tuple[tuple[Point, ...], ...] = field(repr=False)
    """Where they start in default user space: points, origin lower left."""
    written: tuple[str | int, ...] = field(repr=False)
    """From first to last: the place of a digit in `cells`, or the mark that stands between."""
    place: Box
    """On the page as shown."""
    given: bool = False
    setting: Setting | None = field(default=None, repr=False)
    """Its glyphs in their line, where widths or gaps tell something of the digits."""


@dataclass(frozen=True)
class TextFinding:
    """One number on a page, with the glyphs that go."""

    kind: Kind
    shown: str
    place: Box
    """On the page as shown."""
    glyphs: tuple[Glyph, ...] = field(repr=False)
    origins: tuple[Point, ...] = field(repr=False)
    """Where these start in default user space."""
    mask: str
    """The character that stands in for each glyph."""
    going: range = range(0)
    """The digits that go, by their place in the number."""
    setting: Setting | None = field(default=None, repr=False)


def numbers_on_page(
    page: pymupdf.Page, read: PageGlyphs, known: Sequence[KnownNumber], policy: MaskPolicy
) -> tuple[NumberOnPage, ...]:
    """Every number in the page's text that the policy masks."""
    to_pdf = ~unrotated(page)
    return tuple(
        _number(page, read, match, to_pdf)
        for sheet in read.sheets
        for match in find_on_page(sheet, known, policy)
    )


def _number(
    page: pymupdf.Page, read: PageGlyphs, match: GlyphMatch, to_pdf: pymupdf.Matrix
) -> NumberOnPage:
    cells = tuple(tuple(read[k] for k in digit) for digit in match.digits)
    at = {digit[0]: place for place, digit in enumerate(match.digits)}
    everything = [read[k].box for place in match.written for k in place]
    return NumberOnPage(
        match.kind,
        Secret("".join(fold(cell[0].char).text for cell in cells)),
        match.sureness,
        cells,
        tuple(tuple(moved(glyph.origin, to_pdf) for glyph in cell) for cell in cells),
        tuple(_written(read, [place[0] for place in match.written], at)),
        shown_box(page, everything),
        match.given,
        setting_of(read, match, to_pdf),
    )


def _written(read: PageGlyphs, places: Sequence[int], at: dict[int, int]) -> Iterator[str | int]:
    """Digits and marks as they follow one another; a space where one was drawn between."""
    for order, place in enumerate(places):
        if order and place - places[order - 1] == 2 and read.drawn[place - 1].isspace():
            yield " "
        yield at.get(place, _plain(read.drawn[place]))


def findings_of(
    numbers: Iterable[NumberOnPage],
    known: Sequence[KnownNumber],
    policy: MaskPolicy,
    *,
    blank: bool = False,
) -> tuple[TextFinding, ...]:
    """What of these numbers the policy masks, given which numbers are known.

    With `blank` a number goes whole and leaves room to be written in.
    """
    kinds = {
        number.digits.reveal(): (number.kind, number.given)
        for number in known
        if policy.masks(number.kind, given=number.given)
    }
    findings = []
    for number in numbers:
        kind, given = kinds.get(number.digits.reveal(), (number.kind, number.given))
        if policy.masks(kind, given=given):
            count = len(number.cells)
            going = range(count) if blank else hidden_positions(kind, count)
            if going:
                mask = " " if blank else policy.glyph
                findings.append(_finding(number, kind, going, mask))
    return tuple(findings)


def _finding(number: NumberOnPage, kind: Kind, going: range, mask: str) -> TextFinding:
    shown = "".join(
        mark
        if isinstance(mark, str)
        else (mask if mark in going else _plain(number.cells[mark][0].char))
        for mark in number.written
    )
    return TextFinding(
        kind,
        shown,
        number.place,
        tuple(glyph for k in going for glyph in number.cells[k]),
        tuple(point for k in going for point in number.origins[k]),
        mask,
        going,
        number.setting,
    )


def _plain(char: str) -> str:
    return fold(char).text or char
