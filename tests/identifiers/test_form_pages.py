"""Numbers on pages laid out like the official forms, however those pages were drawn."""

import pytest
from drawn_sheet import DrawnSheet
from form_sheets import FORMS

FORM = pytest.mark.parametrize("name", FORMS)


@FORM
def test_every_number_is_found_and_nothing_else(name):
    page, expected = FORMS[name]()
    assert page.found() == expected


@FORM
def test_one_glyph_for_each_run_makes_no_difference(name):
    page, expected = FORMS[name]()
    assert page.one_glyph_each().found() == expected


@FORM
@pytest.mark.parametrize("seed", range(3))
def test_the_order_of_drawing_makes_no_difference(name, seed):
    page, expected = FORMS[name]()
    assert page.in_disorder(seed).found() == expected


@FORM
def test_cheap_bold_is_one_number_with_every_glyph_of_it(name):
    page, expected = FORMS[name]()
    twice = page.printed_twice()
    assert twice.found() == expected
    assert all(len(digit) == 2 for match in twice.matches() for digit in match.digits)


@FORM
def test_on_a_masked_form_nothing_is_found(name):
    page, _ = FORMS[name]()
    assert page.masked().found() == []


@FORM
@pytest.mark.parametrize("scale", [0.4, 2.8])
def test_the_scale_of_the_page_makes_no_difference(name, scale):
    page, expected = FORMS[name]()
    sheet = DrawnSheet()
    for run in page.runs:
        size = (run.bottom - run.top) / 1.2
        pitch = run.x0[1] - run.x0[0] if len(run.text) > 1 else 0.0
        y = run.top + 0.9 * size
        sheet.text(run.x0[0] * scale, y * scale, run.text, size * scale, pitch * scale)
    assert sheet.found() == expected
