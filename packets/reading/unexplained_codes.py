"""Bars and squares that stand as close as in a bar code."""

from collections.abc import Iterator, Sequence

from packets.reading.unexplained_rows import Box, Part, around, clusters, runs_of_bars

BAR_WIDTH = 6.0
"""Greatest width of a bar, and of the gap between two, in points."""
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


def _with_neighbours(box: Box, bars: Sequence[Part]) -> Box:
    """The box with the bars that touch it: rows of few bars belong to a code, too."""
    for _ in range(_ROUNDS):
        near = (box[0] - _TOUCH, box[1] - _TOUCH, box[2] + _TOUCH, box[3] + _TOUCH)
        grown = around([box, *(bar.box for bar in bars if _meet(near, bar.box))])
        if grown == box:
            break
        box = grown
    return box


def _meet(one: Box, other: Box) -> bool:
    return one[0] <= other[2] and other[0] <= one[2] and one[1] <= other[3] and other[1] <= one[3]
