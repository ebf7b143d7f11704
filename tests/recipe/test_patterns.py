"""`*` stands for any rest, and nothing else is special."""

import re

from hypothesis import example, given
from hypothesis import strategies as st

from packets.recipe.patterns import first_match, matches, overlap

WORD = st.text(st.sampled_from("ab-"), max_size=6)
PATTERN = st.text(st.sampled_from("ab-*"), max_size=6)


@given(PATTERN, WORD)
@example("w-2", "w-2")
@example("*a*a*b", "aaab")
def test_a_pattern_matches_as_its_regular_expression_does(pattern: str, word: str) -> None:
    expected = re.fullmatch(re.escape(pattern).replace(r"\*", ".*"), word) is not None
    assert matches(pattern, word) is expected


@given(PATTERN, PATTERN, WORD)
def test_two_patterns_that_share_a_word_overlap(one: str, other: str, word: str) -> None:
    if matches(one, word) and matches(other, word):
        assert overlap(one, other)


@given(PATTERN, PATTERN)
def test_overlap_takes_no_sides(one: str, other: str) -> None:
    assert overlap(one, other) is overlap(other, one)


def test_patterns_with_nothing_in_common_do_not_overlap() -> None:
    assert not overlap("taxpayer_signature*", "spouse_signature*")
    assert not overlap("form-*", "voucher-*")
    assert overlap("*_signature", "taxpayer*")


def test_brackets_and_question_marks_mean_themselves() -> None:
    assert matches("topmost[0].f1_?", "topmost[0].f1_?")
    assert not matches("f1_?", "f1_2")
    assert not matches("f[12]", "f1")


def test_a_star_in_a_word_is_only_a_mark() -> None:
    assert not matches("ab", "*")
    assert matches("*", "*")


def test_the_first_pattern_that_fits_is_named() -> None:
    assert first_match(("1098*", "1099-*", "*"), "1099-int") == "1099-*"
    assert first_match(("w-2",), "w-2g") is None


def test_a_pattern_of_many_stars_is_quick() -> None:
    assert not matches("*a" * 100 + "*b", "a" * 400)
