"""Bars and squares that stand as close as in a bar code."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from packets.reading.unexplained_rows import Box, Part, around, clusters, runs_of_bars

BAR_WIDTH = 6.0
"""Greatest width of a bar, and of the gap between two, in points."""
WIDE_BAR = 20.0
"""The same in a code printed large, as on labels and posters."""
_SPREAD = 8.5
"""No bar is wider than 8 modules, and no gap (ISO/IEC 15438 and 15417)."""
_LONG_RUN, _SHORT_RUN = 12, 4
"""Bars side by side: so many in one row, or so few in many rows."""
_STACKED = 16.0
_ROUNDS = 8
_CODE_SIDE = 8.0
_TOUCH = 0.45


def code_regions(bars: Sequence[Part]) -> Iterator[Box]:
    """Where bars stand side by side as in a bar code, in one row or in many."""
    if len(bars) < _LONG_RUN:
        return
    large = tuple(_large_regions(bars))
    yield from large
    for box in _close_regions([bar for bar in bars if _narrow(bar) <= BAR_WIDTH]):
        if not any(_holds(whole, box) for whole in large):
            yield box


def _close_regions(bars: Sequence[Part]) -> Iterator[Box]:
    runs = [
        Part(around(bar.box for bar in run), float(len(run)))
        for across in (False, True)
        for run in runs_of_bars(bars, across=across, width=BAR_WIDTH)
        if len(run) >= _SHORT_RUN
    ]
    for group in clusters(runs, BAR_WIDTH):
        box = around(run.box for run in group)
        longest = max(run.weight for run in group)
        total = sum(run.weight for run in group)
        stacked = len(group) >= _SHORT_RUN and total >= _STACKED
        if (longest >= _LONG_RUN or stacked) and min(
            box[2] - box[0], box[3] - box[1]
        ) >= _CODE_SIDE:
            yield _with_neighbours(box, bars)


def _large_regions(bars: Sequence[Part]) -> Iterator[Box]:
    """Where long runs of wide bars stand, of several widths like those of a code."""
    runs = [
        Part(around(bar.box for bar in run), 1.0)
        for across in (False, True)
        for run in runs_of_bars(bars, across=across, width=WIDE_BAR)
        if len(run) >= _LONG_RUN and _looks_coded(run, across=across)
    ]
    for group in clusters(runs, WIDE_BAR):
        yield around(run.box for run in group)


def _looks_coded(run: Sequence[Part], *, across: bool) -> bool:
    """Bars and gaps of several widths, none many times the narrowest: no rules, no stripes."""
    ends = [(bar.box[across], bar.box[2 + across]) for bar in run]
    widths = [high - low for low, high in ends]
    gaps = [after[0] - before[1] for before, after in pairwise(ends)]
    narrowest = max(min(widths), 0.1)
    several = len({round(2 * width / narrowest) for width in widths}) > 1
    return several and max(*widths, *gaps) <= _SPREAD * narrowest


def _narrow(bar: Part) -> float:
    return min(bar.box[2] - bar.box[0], bar.box[3] - bar.box[1])


def _with_neighbours(box: Box, bars: Sequence[Part]) -> Box:
    """The box with the bars that touch it: rows of few bars belong to a code, too."""
    for _ in range(_ROUNDS):
        near = (box[0] - _TOUCH, box[1] - _TOUCH, box[2] + _TOUCH, box[3] + _TOUCH)
        grown = around([box, *(bar.box for bar in bars if _meet(near, bar.box))])
        if grown == box:
            break
        box = grown
    return box


def _holds(outer: Box, inner: Box) -> bool:
    return (
        outer[0] <= inner[0] + _TOUCH
        and outer[1] <= inner[1] + _TOUCH
        and inner[2] <= outer[2] + _TOUCH
        and inner[3] <= outer[3] + _TOUCH
    )


def _meet(one: Box, other: Box) -> bool:
    return one[0] <= other[2] and other[0] <= one[2] and one[1] <= other[3] and other[1] <= one[3]
