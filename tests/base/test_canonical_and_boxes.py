"""Laws of the canonical form, of boxes on a page, and of the stated limits."""

import dataclasses
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packets.base.canonical import Json, canonical_json, checksum_of
from packets.base.geometry import Box
from packets.base.limits import DEFAULT_LIMITS, Limits
from packets.base.progress import Progress, Step, silent

TEXTS = st.text(st.characters(exclude_categories=("Cs",)), max_size=8)
SAFE = 2**53 - 1
"""Beyond it a number is written without its point and reads back as an unsafe integer."""
NUMBERS = st.integers(-SAFE, SAFE) | st.floats(-SAFE, SAFE)
VALUES = st.recursive(
    st.none() | st.booleans() | NUMBERS | TEXTS,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(TEXTS, inner, max_size=4),
    max_leaves=12,
)
SIDES = st.floats(-1000, 1000)
BOXES = st.builds(
    lambda x, y, width, height: Box(x, y, x + width, y + height),
    SIDES,
    SIDES,
    st.floats(0.5, 500),
    st.floats(0.5, 500),
)


@given(VALUES)
def test_the_canonical_form_reads_back_and_is_its_own_canonical_form(value: Json) -> None:
    once = canonical_json(value)
    assert json.loads(once) == value
    assert canonical_json(json.loads(once)) == once


@given(st.dictionaries(TEXTS, VALUES, max_size=5), st.randoms(use_true_random=False))
def test_the_order_of_keys_does_not_matter(record: dict[str, Json], random: object) -> None:
    names = list(record)
    random.shuffle(names)  # type: ignore[attr-defined]
    shuffled = {name: record[name] for name in names}
    assert canonical_json(shuffled) == canonical_json(record)
    assert checksum_of(shuffled) == checksum_of(record)


@given(st.dictionaries(TEXTS, VALUES, max_size=4), TEXTS, VALUES)
def test_any_other_key_changes_the_checksum(record: dict[str, Json], key: str, value: Json) -> None:
    changed = {**record, key: value}
    if key == "checksum":
        assert checksum_of(changed) == checksum_of(record)
    elif canonical_json(changed) != canonical_json(record):
        assert checksum_of(changed) != checksum_of(record)


@given(BOXES, BOXES)
def test_a_joined_box_holds_both_and_order_does_not_matter(one: Box, other: Box) -> None:
    both = one.joined(other)
    assert both == other.joined(one)
    for box in (one, other):
        assert both.joined(box) == both
        assert both.overlaps(box)
    assert both.width >= max(one.width, other.width)


@given(BOXES, BOXES)
def test_overlap_takes_no_sides(one: Box, other: Box) -> None:
    assert one.overlaps(one)
    assert one.overlaps(other) is other.overlaps(one)


def test_boxes_that_only_touch_do_not_overlap() -> None:
    assert not Box(0, 0, 10, 10).overlaps(Box(10, 0, 20, 10))
    assert not Box(0, 0, 10, 10).overlaps(Box(0, 10, 10, 20))
    assert Box(0, 0, 10, 10).overlaps(Box(9.9, 9.9, 20, 20))


def test_a_box_is_told_to_a_tenth_of_a_point() -> None:
    assert Box(1.04, 2.06, 3.0, 4.449).rounded() == (1.0, 2.1, 3.0, 4.4)


def test_limits_are_all_positive_and_cannot_be_changed() -> None:
    assert all(value > 0 for value in dataclasses.astuple(DEFAULT_LIMITS))
    assert Limits() == DEFAULT_LIMITS
    with pytest.raises(dataclasses.FrozenInstanceError):
        DEFAULT_LIMITS.pages = 1  # type: ignore[misc]


def test_nobody_needs_to_listen() -> None:
    listener: Progress = silent
    listener(Step("masking", "page 1", 1, 2))
    assert silent(Step("masking")) is None  # type: ignore[func-returns-value]
