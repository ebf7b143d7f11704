"""Where on a page a stamp finds bare paper, so that it never covers print."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from packets.assembly.page_boxes import ShownPage
from packets.assembly.paper import PaperStrip

_TYPE_SIZE = 8.0
_SMALLEST = 5.0
"""A narrow page makes the stamp this small before the page is made wider."""
_REFERENCE_SIDE = 792.0
"""Pages whose shorter side is longer than this get a stamp larger in proportion."""
_GROWTH = 18.0
"""How much paper is added at the foot of a page that has no bare spot."""
_ROWS = (18.0, 10.0)
"""Distance of the stamp from the edge of the page."""
_CLEAR = 3.0
"""Bare paper asked for on every side of the stamp."""
_ASCENT, _DESCENT = 0.75, 0.25
"""Of Helvetica's capitals and tails, in type sizes, rounded up."""


@dataclass(frozen=True)
class Spot:
    """Where the stamp goes, in points as shown, origin lower left of the page as it was."""

    x: float
    """Left edge of the room for the widest stamp."""
    baseline: float
    size: float
    align: float
    """0 flush left, 0.5 centred, 1 flush right within the room."""
    below: float = 0.0
    """Paper to add at the foot; the baseline is then negative."""
    right: float = 0.0
    """Paper to add at the right, for a page narrower than its stamp."""


Look = Callable[[bool, float, float], PaperStrip | None]
"""(at the top?, depth in points, pixels per point) -> the paper along that edge."""


def stamp_scale(shown: ShownPage) -> float:
    """1 for pages up to US Letter and A4; more for posters, so that the stamp stays readable."""
    return max(1.0, min(shown.width, shown.height) / _REFERENCE_SIDE)


def find_spot(shown: ShownPage, unit_width: float, look: Look) -> Spot:
    """The first bare spot, or one on added paper.

    `unit_width` is the width of the widest stamp at a type size of 1. White paper is
    preferred to evenly toned paper; the foot of the page to its head; right to left.
    """
    scale = stamp_scale(shown)
    margin = min(24.0 * scale, shown.width * 0.06)
    room = shown.width - 2 * margin
    size = min(_TYPE_SIZE * scale, max(_SMALLEST, room / unit_width))
    wide = unit_width * size
    depth = (max(_ROWS) + _CLEAR) * scale + size
    if wide <= room and depth * 3 <= shown.height:
        strips = _Strips(look, depth, 4.0 / size)
        for white in (True, False):
            for spot in _candidates(shown, wide, size, margin):
                if strips.bare(shown, spot, wide, scale, white=white):
                    return spot
    added = _GROWTH * scale
    return Spot(
        x=max(margin, shown.width - margin - wide),
        baseline=-added / 2 - size * 0.35,
        size=size,
        align=1.0,
        below=added,
        right=max(0.0, wide + 2 * margin - shown.width),
    )


def foot_spot(shown: ShownPage, unit_width: float) -> Spot:
    """The lower right corner, for sheets of ours whose foot is kept free."""
    wide = unit_width * _TYPE_SIZE
    return Spot(x=shown.width - 60.0 - wide, baseline=30.0, size=_TYPE_SIZE, align=1.0)


def _candidates(shown: ShownPage, wide: float, size: float, margin: float) -> Iterator[Spot]:
    scale = stamp_scale(shown)
    across = (
        (shown.width - margin - wide, 1.0),
        ((shown.width - wide) / 2, 0.5),
        (margin, 0.0),
    )
    for at_top in (False, True):
        for row in _ROWS:
            edge = row * scale
            baseline = shown.height - edge - size * _ASCENT if at_top else edge
            for x, align in across:
                yield Spot(x, baseline, size, align)


class _Strips:
    """The two edges of a page, each looked at once and only when asked for."""

    def __init__(self, look: Look, depth: float, resolution: float) -> None:
        self._look = look
        self._depth = depth
        self._resolution = resolution
        self._seen: dict[bool, PaperStrip | None] = {}

    def bare(self, shown: ShownPage, spot: Spot, wide: float, scale: float, *, white: bool) -> bool:
        at_top = spot.baseline > shown.height / 2
        if at_top not in self._seen:
            self._seen[at_top] = self._look(at_top, self._depth, self._resolution)
        strip = self._seen[at_top]
        clear = _CLEAR * scale
        return strip is not None and strip.is_bare(
            (
                spot.x - clear,
                shown.height - spot.baseline - spot.size * _ASCENT - clear,
                spot.x + wide + clear,
                shown.height - spot.baseline + spot.size * _DESCENT + clear,
            ),
            white=white,
        )
