"""How a number is set: whether widths and gaps of its glyphs tell which digits they are.

In most fonts all digits are equally wide and nothing is to be seen. Where they
are not, or where pairs of them are kerned, the places of what stays narrow down
what went: Bland, Iyer and Levchenko, "Story Beyond the Eye: Glyph Positions Break
PDF Text Redaction", PoPETs 2023. Such a number is set afresh (`fresh_places`).
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import fmean, median
from typing import NamedTuple

import pymupdf

from packets.identifiers.layout import GlyphMatch
from packets.masking.user_space import Point, moved
from packets.reading.glyphs import Glyph, PageGlyphs

_SAME = 0.003
"""Type sizes. Producers round places to about a thousandth; kerning begins at five."""
_LAYOUT_GAP = 0.1
"""A gap this much wider than those between digits, in type sizes, was put there by the layout."""
_ONE_LINE = 0.1
"""Type sizes by which baselines of one line differ at most."""
_APART = 0.4
"""Glyphs farther from one another, in type sizes, stand in cells of their own."""
_FLOWS = 1.0
"""Text nearer than this, in type sizes, follows what stands before it."""
_EDGE = 0.3
"""Points within which two edges are one."""
_USUAL_DIGIT = 0.556
"""Type sizes; of Helvetica and many others."""


@dataclass(frozen=True, slots=True, repr=False)
class SetGlyph:
    """A glyph, or several printed over one another, in its line."""

    points: tuple[Point, ...]
    """Origins in default user space: points, origin lower left."""
    digit: int | None
    """Its place among the digits of the number; None for a mark or space between."""
    start: float
    width: float
    """Along the line, in points of default user space."""


@dataclass(frozen=True, slots=True, repr=False)
class Chain:
    """Text of one line whose glyphs follow one another closely, in their order."""

    starts: tuple[float, ...]
    widths: tuple[float, ...]
    points: tuple[Point, ...]

    @property
    def end(self) -> float:
        return max(start + width for start, width in zip(self.starts, self.widths, strict=True))


@dataclass(frozen=True, slots=True, repr=False)
class Segment:
    """Glyphs of a number that follow one another on one line."""

    glyphs: tuple[SetGlyph, ...]
    chain: Chain
    """The text that they are part of."""
    from_end: bool
    """Whether it is lined up with others by its end."""


@dataclass(frozen=True, slots=True, repr=False)
class Setting:
    """A number whose setting tells something of its digits."""

    segments: tuple[Segment, ...]
    along: Point
    """Unit vector of its line in default user space."""
    size: float
    """Type size in points of default user space."""

    def digit_width(self, going: range) -> float:
        """A width for every mask: the mean of the digits that stay; points."""
        staying = [
            glyph.width / self.size
            for segment in self.segments
            for glyph in segment.glyphs
            if glyph.digit is not None and glyph.digit not in going
        ]
        return round(fmean(staying) if staying else _USUAL_DIGIT, 3) * self.size

    def digit_gap(self, going: range) -> float:
        """The gap between digits that stay; points."""
        gaps = [
            other.start - one.start - one.width
            for segment in self.segments
            for one, other in pairwise(segment.glyphs)
            if one.digit is not None and other.digit is not None
            if one.digit not in going and other.digit not in going
        ]
        return round(median(gaps) / self.size, 2) * self.size if gaps else 0.0

    def layout_gap(self, gap: float, usual: float) -> float:
        """A gap as the layout meant it: the usual one, or, where far wider, rounded."""
        if gap - usual < _LAYOUT_GAP * self.size:
            return usual
        return round(gap / self.size * 20) / 20 * self.size


def setting_of(read: PageGlyphs, match: GlyphMatch, to_pdf: pymupdf.Matrix) -> Setting | None:
    """The setting of a number, or None where it tells nothing of its digits.

    The other glyphs of the page are looked at only for a number that tells.
    """
    line = _Line(read, read[match.digits[0][0]], to_pdf)
    groups = line.grouped(list(_written(read, match)))
    if not _tells(groups, line.size):
        return None
    chains = line.chains()
    segments = tuple(_segment(group, chains) for group in groups)
    return Setting(segments, line.along, line.size)


def _written(read: PageGlyphs, match: GlyphMatch) -> Iterator[tuple[tuple[int, ...], int | None]]:
    """Glyph numbers from first to last, spaces drawn between included, each with its digit."""
    digit_at = {glyphs[0]: place for place, glyphs in enumerate(match.digits)}
    last: int | None = None
    for glyphs in match.written:
        between = range(glyphs[0] if last is None else last + 1, glyphs[0])
        if all(read.drawn[k].isspace() for k in between):
            yield from (((k,), None) for k in between)
        yield glyphs, digit_at.get(glyphs[0])
        last = glyphs[-1]


class _Line:
    """The page seen along the line of one glyph, in points of default user space."""

    def __init__(self, read: PageGlyphs, glyph: Glyph, to_pdf: pymupdf.Matrix) -> None:
        self._read, self._to_pdf, self._direction = read, to_pdf, glyph.direction
        cosine, sine = glyph.direction
        x = cosine * to_pdf.a + sine * to_pdf.c
        y = cosine * to_pdf.b + sine * to_pdf.d
        self._scale = math.hypot(x, y) or 1.0
        self.along: Point = (x / self._scale, y / self._scale)
        self.size = (glyph.size or 1.0) * self._scale

    def grouped(
        self, written: Sequence[tuple[tuple[int, ...], int | None]]
    ) -> list[list[tuple[float, SetGlyph]]]:
        """The number's glyphs with their levels, parted where line or place jumps."""
        groups: list[list[tuple[float, SetGlyph]]] = []
        for numbers, digit in written:
            glyph = self._read[numbers[0]]
            points = tuple(moved(self._read[k].origin, self._to_pdf) for k in numbers)
            start, level = self._coordinates(points[0])
            new = (level, SetGlyph(points, digit, start, glyph.advance * self._scale))
            if groups and self._follows(groups[-1][-1], new):
                groups[-1].append(new)
            else:
                groups.append([new])
        return groups

    def _follows(self, one: tuple[float, SetGlyph], other: tuple[float, SetGlyph]) -> bool:
        gap = (other[1].start - one[1].start - one[1].width) / self.size
        return abs(one[0] - other[0]) < _ONE_LINE * self.size and -_APART < gap < _APART

    def _coordinates(self, point: Point) -> Point:
        """Along the line, and across it."""
        (x, y), (ux, uy) = point, self.along
        return x * ux + y * uy, y * ux - x * uy

    def chains(self) -> list[Chain]:
        """All text of this direction, parted where a line ends or leaves room."""
        found: list[_Laid] = []
        for k in range(len(self._read.drawn)):
            glyph = self._read[k]
            if _nearly(glyph.direction, self._direction):
                point = moved(glyph.origin, self._to_pdf)
                start, level = self._coordinates(point)
                found.append(_Laid(level, start, glyph.advance * self._scale, point))
        found.sort(key=lambda it: (round(it.level / (_ONE_LINE * self.size)), it.start))
        chains: list[list[_Laid]] = []
        for laid in found:
            if chains and self._close(chains[-1][-1], laid):
                chains[-1].append(laid)
            else:
                chains.append([laid])
        return [
            Chain(
                tuple(it.start for it in chain),
                tuple(it.width for it in chain),
                tuple(it.point for it in chain),
            )
            for chain in chains
        ]

    def _close(self, one: "_Laid", other: "_Laid") -> bool:
        on_line = abs(one.level - other.level) < _ONE_LINE * self.size
        return on_line and other.start - one.start - one.width < _FLOWS * self.size


class _Laid(NamedTuple):
    level: float
    start: float
    width: float
    point: Point


def _nearly(one: Point, other: Point) -> bool:
    return abs(one[0] - other[0]) < 0.01 and abs(one[1] - other[1]) < 0.01


def _tells(groups: Sequence[Sequence[tuple[float, SetGlyph]]], size: float) -> bool:
    glyphs = [[glyph for _, glyph in group] for group in groups]
    places = [glyph.points[0] for group in glyphs for glyph in group if glyph.digit is not None]
    if len(set(places)) < len(places):  # one code that stands for several digits
        return False
    widths = [glyph.width for group in glyphs for glyph in group if glyph.digit is not None]
    if max(widths) - min(widths) > _SAME * size:
        return True
    return any(_gaps_tell(group, size) for group in glyphs)


def _gaps_tell(glyphs: Sequence[SetGlyph], size: float) -> bool:
    gaps = [other.start - one.start - one.width for one, other in pairwise(glyphs)]
    if not gaps:
        return False
    usual = median(gaps)
    return any(abs(gap - usual) > _SAME * size and gap - usual < _LAYOUT_GAP * size for gap in gaps)


def _segment(group: Sequence[tuple[float, SetGlyph]], chains: Sequence[Chain]) -> Segment:
    glyphs = tuple(glyph for _, glyph in group)
    own = glyphs[0].points[0]
    chain = next(it for it in chains if own in it.points)
    alone = len(chain.points) <= sum(len(glyph.points) for glyph in glyphs)
    others = [it for it in chains if it is not chain]
    lefts = sum(abs(it.starts[0] - chain.starts[0]) < _EDGE for it in others)
    rights = sum(abs(it.end - chain.end) < _EDGE for it in others)
    return Segment(glyphs, chain, from_end=alone and rights > lefts)
