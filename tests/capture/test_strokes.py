"""What is no signature is refused before anything is drawn, and is not repeated."""

import json

import pytest
from open_page import signature

from packets.base.errors import InputRefused
from packets.capture.strokes import (
    LONGEST_MS,
    MOST_POINTS,
    MOST_STROKES,
    PAD_HEIGHT,
    PAD_WIDTH,
    answer_in,
)

POINT = [10.0, 10.0, 0.0, 0.5]


def body(*strokes, **more):
    return json.dumps({"consent": True, "strokes": list(strokes), **more}).encode()


def test_a_signature_arrives_point_by_point():
    answer = answer_in(json.dumps(signature()).encode())
    assert answer.consent
    assert answer.strokes[0][0] == (60.0, 90.0, 0.0, 0.0)


def test_the_bounds_themselves_are_in():
    corners = [[0, 0, 0, 0], [PAD_WIDTH, PAD_HEIGHT, LONGEST_MS, 1]]
    assert len(answer_in(body(corners)).strokes[0]) == 2
    full = [[POINT] * (MOST_POINTS // MOST_STROKES)] * MOST_STROKES
    assert len(answer_in(body(*full)).strokes) == MOST_STROKES


@pytest.mark.parametrize(
    "point",
    [
        [-0.1, 10, 0, 0.5],
        [PAD_WIDTH + 0.1, 10, 0, 0.5],
        [10, -1, 0, 0.5],
        [10, PAD_HEIGHT + 1, 0, 0.5],
        [10, 10, -1, 0.5],
        [10, 10, LONGEST_MS + 1, 0.5],
        [10, 10, 0, 1.5],
        [10, 10, 0, -0.5],
        [10, 10, 0],
        [10, 10, 0, 0.5, 0],
        ["10", 10, 0, 0.5],
        [None, 10, 0, 0.5],
        [True, 10, 0, 0.5],
        {"x": 10},
        "10",
    ],
)
def test_a_point_that_is_none_is_refused(point):
    with pytest.raises(InputRefused):
        answer_in(body([POINT, point]))


@pytest.mark.parametrize(
    "sent",
    [
        b"",
        b"{}",
        b"[]",
        b"null",
        b"\xff\xfe",
        b"<svg/>",
        b'{"consent": true}',
        b'{"consent": true, "strokes": []}',
        b'{"consent": true, "strokes": [[]]}',
        b'{"consent": "true", "strokes": [[[1,1,0,0],[90,90,9,0]]]}',
        b'{"consent": true, "strokes": [[[NaN,1,0,0]]]}',
        b'{"consent": true, "strokes": [[[Infinity,1,0,0]]]}',
        b'{"consent": true, "strokes": [[[1e999,1,0,0]]]}',
        b'{"consent": true, "strokes": ' + b"[" * 50_000,
        b'{"consent": true, "strokes": [[[' + b"9" * 50_000 + b",1,0,0]]]}",
        body([POINT], svg="<svg/>"),
    ],
)
def test_a_body_that_is_no_signature_is_refused_in_words_of_ours(sent):
    with pytest.raises(InputRefused) as refused:
        answer_in(sent)
    assert refused.value.what == "the strokes did not arrive as a signature"
    assert refused.value.__suppress_context__


def test_more_strokes_or_points_than_a_hand_makes_are_refused():
    with pytest.raises(InputRefused):
        answer_in(body(*[[POINT]] * (MOST_STROKES + 1)))
    with pytest.raises(InputRefused):
        answer_in(body([POINT] * (MOST_POINTS + 1)))
    with pytest.raises(InputRefused):
        answer_in(body([POINT] * MOST_POINTS, [POINT]))


def test_time_runs_forward_within_a_stroke_and_between_strokes():
    early, late = [1, 1, 5, 0], [9, 9, 8, 0]
    assert answer_in(body([early, early, late], [late]))
    for wrong in ([[late, early]], [[late], [early]]):
        with pytest.raises(InputRefused):
            answer_in(body(*wrong))
