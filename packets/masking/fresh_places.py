"""What becomes of each glyph of the numbers on a page: masked where it stands, or set afresh.

A number whose setting tells nothing of its digits is masked glyph by glyph. One
that tells is set as if it had been written with masks of one width from the
start: the digits that stay, and the text that follows in the line, move along.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from statistics import median

from packets.masking.findings import TextFinding
from packets.masking.targets import Place
from packets.masking.type_setting import Chain, Segment, SetGlyph, Setting
from packets.masking.user_space import Point

_SAME_PITCH = 0.003
"""Type sizes within which steps from box to box are equal."""
_WIDE_STEP = 1.3
"""Of the usual step from box to box; a wider one leads to the next group of boxes."""
_GRAIN = 0.003
"""Type sizes to which the gap behind a number is rounded: what rounding left over in the place
of the text that follows tells where it was."""
_HAIR = 0.002
"""Points; readers agree on places no closer than this."""
_ONE_PLACE = 0.02
"""Type sizes between glyphs that are printed over one another."""

Told = tuple[Setting, range]
"""A setting that tells, and the digits that go."""


def places_of(findings: Sequence[TextFinding]) -> list[Place]:
    """Every glyph of the findings that goes, and whatever has to move with them."""
    told = [(it.setting, it.going) for it in findings if it.setting is not None]
    moves = _Moves()
    for setting, going in told:
        moves.in_boxes(setting, going)
    for chain, numbers in _by_chain(told).items():
        moves.lay_out(chain, numbers)
    masked = {point for finding in findings for point in finding.origins}
    places = [
        Place(*point, finding.mask, moves.vector(point), moves.cells.get(point))
        for finding in findings
        for point in finding.origins
    ]
    staying = (point for point in moves.distances if point not in masked)
    places.extend(Place(*point, None, moves.vector(point)) for point in staying)
    return places


def _by_chain(told: Sequence[Told]) -> dict[Chain, list[tuple[Segment, Told]]]:
    chains: dict[Chain, list[tuple[Segment, Told]]] = {}
    for setting, going in told:
        for segment in setting.segments:
            if len(segment.glyphs) > 1:
                chains.setdefault(segment.chain, []).append((segment, (setting, going)))
    return chains


class _Moves:
    """How far glyphs move along their lines, by origin."""

    def __init__(self) -> None:
        self.distances: dict[Point, float] = {}
        self.cells: dict[Point, float] = {}
        self._along: dict[Point, Point] = {}

    def vector(self, point: Point) -> Point:
        x, y = self._along.get(point, (0.0, 0.0))
        distance = self.distances.get(point, 0.0)
        return x * distance, y * distance

    def in_boxes(self, setting: Setting, going: range) -> None:
        """Masks of digits that stand in boxes of their own."""
        cell = setting.digit_width(going)
        alone = [it.glyphs[0] for it in setting.segments if len(it.glyphs) == 1]
        for glyph, start in _in_boxes(alone, cell, setting.size):
            if glyph.digit in going:
                for point in glyph.points:
                    self._move(point, start - glyph.start, setting.along)
                    self.cells[point] = cell

    def lay_out(self, chain: Chain, numbers: Sequence[tuple[Segment, Told]]) -> None:
        """Set a line afresh from its first number that tells."""
        setting, _ = numbers[0][1]
        masks, gaps = _masks_of(numbers)
        firsts = {segment.glyphs[0].points[0] for segment, _ in numbers}
        first = min(place for place, point in enumerate(chain.points) if point in firsts)
        first = max(first - 1, 0)  # what stands before a number may be kerned to it
        lasts = frozenset(segment.glyphs[-1].points[-1] for segment, _ in numbers)
        starts = list(_fresh_starts(chain, first, masks, gaps, lasts, setting))
        by = [fresh - start for fresh, start in zip(starts, chain.starts[first:], strict=True)]
        if numbers[0][0].from_end:
            growth = _end_of(chain, first, starts, masks) - chain.end
            by = [distance - growth for distance in by]
        for point, distance in zip(chain.points[first:], by, strict=True):
            self._move(point, distance, setting.along)
        self.cells.update(masks)

    def _move(self, point: Point, by: float, along: Point) -> None:
        self.distances[point] = by if abs(by) > _HAIR else 0.0
        self._along[point] = along


def _masks_of(
    numbers: Sequence[tuple[Segment, Told]],
) -> tuple[dict[Point, float], dict[Point, float]]:
    """By glyph that goes: the width of its mask, and the gap that is usual beside it."""
    masks: dict[Point, float] = {}
    gaps: dict[Point, float] = {}
    for segment, (setting, going) in numbers:
        cell, gap = setting.digit_width(going), setting.digit_gap(going)
        for glyph in segment.glyphs:
            if glyph.digit in going:
                masks.update(dict.fromkeys(glyph.points, cell))
                gaps.update(dict.fromkeys(glyph.points, gap))
    return masks, gaps


def _fresh_starts(
    chain: Chain,
    first: int,
    masks: dict[Point, float],
    gaps: dict[Point, float],
    lasts: frozenset[Point],
    setting: Setting,
) -> Iterator[float]:
    """Where each glyph starts when the line is written anew from one of its glyphs."""
    at, grain = chain.starts[first], _GRAIN * setting.size
    yield at
    for one, other in pairwise(range(first, len(chain.points))):
        point, next_point = chain.points[one], chain.points[other]
        if chain.starts[other] - chain.starts[one] > _ONE_PLACE * setting.size:
            gap = chain.starts[other] - chain.starts[one] - chain.widths[one]
            usual = gaps.get(point, gaps.get(next_point))
            if usual is not None:
                gap = setting.layout_gap(gap, usual)
            elif point in lasts:
                gap = round(gap / grain) * grain
            at += masks.get(point, chain.widths[one]) + gap
        yield at


def _end_of(chain: Chain, first: int, starts: Sequence[float], masks: dict[Point, float]) -> float:
    widths = [
        masks.get(point, width)
        for point, width in zip(chain.points[first:], chain.widths[first:], strict=True)
    ]
    return max(start + width for start, width in zip(starts, widths, strict=True))


def _in_boxes(
    glyphs: Sequence[SetGlyph], cell: float, size: float
) -> Iterator[tuple[SetGlyph, float]]:
    """Digits in boxes of their own: masks stand as the digits did, at the left or in the middle."""
    if not glyphs:
        return
    by_start = _spread([glyph.start for glyph in glyphs])
    by_middle = _spread([glyph.start + glyph.width / 2 for glyph in glyphs])
    for glyph in glyphs:
        middle = glyph.start + (glyph.width - cell) / 2
        yield glyph, glyph.start if by_start <= by_middle + _SAME_PITCH * size else middle


def _spread(places: Sequence[float]) -> float:
    """How unequal the steps from box to box are, the wide ones between groups left out."""
    steps = [abs(other - one) for one, other in pairwise(places)]
    if not steps:
        return 0.0
    near = [step for step in steps if step <= _WIDE_STEP * median(steps)]
    return max(near) - min(near)
