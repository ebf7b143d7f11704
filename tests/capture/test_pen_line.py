"""The course of a drawn line: what holds for every stroke."""

import math
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from packets.capture.pen_line import STEP, THICKEST, THINNEST, length_of, pen_line
from packets.capture.strokes import PAD_HEIGHT, PAD_WIDTH

NUMBER = {"allow_nan": False, "allow_infinity": False}
POINTS = st.tuples(
    st.floats(0, PAD_WIDTH, **NUMBER),
    st.floats(0, PAD_HEIGHT, **NUMBER),
    st.floats(0, 1000, **NUMBER),
    st.floats(0, 1, **NUMBER),
)
STROKES = st.lists(POINTS, min_size=1, max_size=40).map(
    lambda points: tuple(
        (x, y, t, p) for (x, y, _, p), t in zip(points, sorted(p[2] for p in points), strict=True)
    )
)


@given(STROKES)
def test_dots_are_near_each_other_within_the_pad_and_of_a_pens_width(stroke):
    dots = pen_line(stroke)
    for dot in dots:
        assert -1e-6 <= dot.x <= PAD_WIDTH + 1e-6
        assert -1e-6 <= dot.y <= PAD_HEIGHT + 1e-6
        assert THINNEST - 1e-6 <= dot.radius <= THICKEST + 1e-6
    assert all(math.dist(one[:2], other[:2]) <= STEP + 1e-6 for one, other in pairwise(dots))


@given(STROKES)
def test_the_line_is_never_longer_than_the_hand_went(stroke):
    way = sum(math.dist(one[:2], other[:2]) for one, other in pairwise(stroke))
    assert length_of(pen_line(stroke)) <= way + 1e-6


def straight(pressures, milliseconds=20.0):
    return tuple((50.0 + 10 * i, 100.0, milliseconds * i, p) for i, p in enumerate(pressures))


def test_pressure_makes_the_line_wider_and_without_jumps():
    rising = pen_line(straight([i / 40 for i in range(41)]))
    widths = [dot.radius for dot in rising]
    assert widths == sorted(widths)
    assert widths[-1] > 1.8 * widths[0]
    jump = pen_line(straight([0.0] * 10 + [1.0] * 10 + [0.5]))
    assert max(abs(b.radius - a.radius) for a, b in pairwise(jump)) < 0.3 * (THICKEST - THINNEST)


def test_without_pressure_a_quick_line_is_thinner_than_a_slow_one():
    slow, quick = (pen_line(straight([0.5] * 30, pace))[-1].radius for pace in (60.0, 3.0))
    assert quick < slow


def test_it_begins_and_ends_where_the_pen_did_and_cuts_the_corner_between():
    corner = ((100.0, 100.0, 0.0, 0.0), (200.0, 100.0, 50.0, 0.0), (200.0, 200.0, 99.0, 0.0))
    dots = pen_line(corner)
    assert dots[0][:2] == (100.0, 100.0)
    assert dots[-1][:2] == (200.0, 200.0)
    assert min(math.dist(dot[:2], (200.0, 100.0)) for dot in dots) > 10


def test_tremor_on_one_spot_is_one_dot():
    assert len(pen_line(tuple((10 + 0.1 * (i % 2), 10.0, float(i), 0.0) for i in range(50)))) == 1
