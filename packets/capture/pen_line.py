"""Strokes become a pen's line: a smooth course, and a width that follows pressure or pace."""

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from packets.capture.strokes import Stroke

THINNEST, THICKEST = 1.4, 3.8
"""Radius of the line in pad units: 0.4 to 1 point wide where it stands on a form's line."""
PLAIN = 2.4
"""Radius of the first touch where the device tells no pressure."""
SAME_PLACE = 0.6
"""Points nearer than this to the one before add nothing but tremor."""
STEP = 2.0
"""Distance between two dots of the finished line."""
SLOW, FAST = 0.15, 2.2
"""Pad units per millisecond between which the pace thins the line, as ink would."""
INERTIA = 0.65
"""Share of its width that a line keeps from one point to the next."""


class Dot(NamedTuple):
    """A place on the line and its half width there, in pad units."""

    x: float
    y: float
    radius: float


def pen_line(stroke: Stroke) -> tuple[Dot, ...]:
    """The dots of one stroke, near enough to each other to be joined straight.

    The course is the quadratic B-spline of the points: it passes through the
    middles between them and through both ends.
    """
    knots = _knots(stroke)
    if len(knots) == 1:
        return knots
    middles = [_between(one, other, 0.5) for one, other in pairwise(knots)]
    dots = [knots[0], *_straight(knots[0], middles[0])]
    for knot, (start, end) in zip(knots[1:-1], pairwise(middles), strict=True):
        dots += _bent(start, knot, end)
    dots += _straight(middles[-1], knots[-1])
    return tuple(dots)


def length_of(dots: Sequence[Dot]) -> float:
    """How far the pen went, in pad units."""
    return sum(math.dist(one[:2], other[:2]) for one, other in pairwise(dots))


def _knots(stroke: Stroke) -> tuple[Dot, ...]:
    """The points that say something, each with its smoothed half width."""
    pressed = _tells_pressure(stroke)
    x, y, before, pressure = stroke[0]
    radius = _pressed(pressure) if pressed else PLAIN
    knots = [Dot(x, y, radius)]
    for x, y, now, pressure in stroke[1:]:
        way = math.hypot(x - knots[-1].x, y - knots[-1].y)
        if way < SAME_PLACE:
            continue
        wanted = _pressed(pressure) if pressed else _paced(way / max(1.0, now - before))
        radius = INERTIA * radius + (1 - INERTIA) * wanted
        knots.append(Dot(x, y, radius))
        before = now
    return tuple(knots)


def _tells_pressure(stroke: Stroke) -> bool:
    """A mouse or a finger says the same all along (0.5, 0 or 1); a pen does not."""
    told = {point[3] for point in stroke}
    return len(told) > 2


def _pressed(pressure: float) -> float:
    return THINNEST + (THICKEST - THINNEST) * pressure


def _paced(pace: float) -> float:
    quick = min(1.0, max(0.0, (pace - SLOW) / (FAST - SLOW)))
    return THICKEST - 0.6 - (THICKEST - 0.6 - THINNEST) * quick


def _between(one: Dot, other: Dot, share: float) -> Dot:
    return Dot(*(a + (b - a) * share for a, b in zip(one, other, strict=True)))


def _straight(start: Dot, end: Dot) -> Iterator[Dot]:
    """Dots behind `start`, up to and with `end`."""
    steps = max(1, math.ceil(math.dist(start[:2], end[:2]) / STEP))
    return (_between(start, end, step / steps) for step in range(1, steps + 1))


def _bent(start: Dot, control: Dot, end: Dot) -> Iterator[Dot]:
    """The same along a quadratic Bézier curve."""
    # Nowhere does the curve run faster than twice its longer leg.
    leg = max(math.dist(start[:2], control[:2]), math.dist(control[:2], end[:2]))
    steps = max(1, math.ceil(2 * leg / STEP))
    for step in range(1, steps + 1):
        share = step / steps
        first, second = _between(start, control, share), _between(control, end, share)
        yield _between(first, second, share)
