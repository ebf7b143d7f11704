"""A number written in every kind of font."""

import functools

import pytest
from other_readers import by_pdfminer
from places_in_fonts import page
from planted_checks import assert_taken_out
from planted_fonts import (
    THREE_CODES,
    true_type_page,
    type_three,
)


@pytest.mark.parametrize("scale", [0.001, 0.01, 1.0])
def test_a_type_three_font_gives_the_number_up(scale):
    pdf = page(functools.partial(type_three, scale=scale), THREE_CODES)
    result = assert_taken_out(pdf)
    assert by_pdfminer(result.pdf).strip().startswith("XXX-XX-")


@pytest.mark.parametrize("kerned", [False, True])
def test_an_embedded_subset_gives_the_number_up(kerned):
    result = assert_taken_out(true_type_page(kerned=kerned), seen_by=3)
    assert "and other words" in by_pdfminer(result.pdf)
