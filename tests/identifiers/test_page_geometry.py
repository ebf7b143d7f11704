"""Where glyphs stand decides: captions, boxes, columns, cells, sizes, and what lies scattered."""

import pytest
from drawn_sheet import DrawnSheet

from packets.base.secret import Secret
from packets.identifiers.kinds import Kind, KnownNumber, MaskPolicy

KNOWN = (KnownNumber(Kind.SSN, Secret("000123456")),)


def test_a_number_far_right_of_its_label_is_its_number():
    page = DrawnSheet().text(40, 50, "Routing number").text(400, 50, "021000021")
    assert page.found() == []
    page = DrawnSheet().text(40, 50, "Account number").text(400, 50, "021000021")
    assert page.found() == [("account", "021000021")]


def test_a_number_centred_in_its_box_belongs_to_the_caption_at_the_left():
    page = DrawnSheet().text(40, 150, "Account number").text(160, 164, "00884120")
    assert page.found() == [("account", "00884120")]


def test_the_value_of_the_next_box_is_no_account():
    page = DrawnSheet().text(40, 150, "Account number (see instructions)", 6)
    page.text(40, 174, "1 Wages", 6).text(60, 188, "84200")
    assert page.found() == []


def test_a_value_above_the_caption_of_the_next_box_is_no_account():
    page = DrawnSheet().text(60, 140, "84200").text(40, 152, "Account number (see instructions)", 6)
    assert page.found() == []


def test_words_in_the_same_cell_say_what_a_value_is():
    page = (
        DrawnSheet().text(40, 150, "Account number (see instructions)").text(40, 163, "Wages 84200")
    )
    assert page.found() == []


def test_two_numbers_below_two_captions_go_each_with_its_own():
    page = DrawnSheet().text(40, 50, "Routing number", 7).text(200, 50, "Account number", 7)
    page.text(40, 64, "021000021").text(200, 64, "00884120")
    assert page.found() == [("account", "00884120")]


def test_a_personal_caption_above_beats_an_explaining_label_in_another_cell():
    page = DrawnSheet().text(200, 50, "Your social security number", 7)
    page.text(40, 64, "Control number").text(200, 64, "000123456")
    assert page.found() == [("ssn", "000123456")]


def test_a_caption_over_two_lines_is_one_caption():
    page = DrawnSheet().text(40, 50, "Your social").text(40, 58, "security number")
    assert page.text(40, 72, "000 123 456").found() == [("ssn", "000123456")]
    page = DrawnSheet().text(40, 50, "Account").text(40, 60, "number").text(40, 72, "00012345")
    assert page.found() == [("account", "00012345")]


def test_a_column_goes_on_below_a_number_that_is_masked():
    page = DrawnSheet().text(40, 50, "CUSIP", 7)
    page.text(40, 64, "037833100").text(40, 76, "000-12-3456").text(40, 88, "037833101")
    assert page.found() == [("ssn", "000123456")]
    assert page.masked().found() == []


def test_sizes_may_change_within_a_number():
    page = DrawnSheet().text(40, 50, "000-", 12).text(64, 50, "12", 8).text(72, 50, "-3456", 12)
    assert page.found() == [("ssn", "000123456")]


def test_a_raised_footnote_mark_is_not_part_of_a_number():
    page = DrawnSheet().text(40, 50, "000-12-3456", 10).text(95, 46, "1", 5)
    assert ("ssn", "000123456") in page.found()


@pytest.mark.parametrize("pitch", [5.0, 6.0, 9.0, 14.0, 20.0, 40.0])
def test_boxes_of_any_width_hold_one_number(pitch):
    assert DrawnSheet().text(40, 50, "000123456", pitch=pitch).found() == [("ssn", "000123456")]


def test_boxes_beside_boxes_hold_two_numbers():
    page = DrawnSheet().text(40, 50, "000123456", pitch=9).text(200, 50, "666123457", pitch=9)
    assert page.found() == [("ssn", "000123456"), ("ssn", "666123457")]


def test_a_known_number_is_found_scattered_over_lines_and_columns():
    page = DrawnSheet().text(40, 50, "000").text(200, 80, "12").text(300, 95, "3456")
    assert page.found(KNOWN) == [("ssn", "000123456")]
    assert DrawnSheet().text(40, 50, "000").text(200, 80, "12").found(KNOWN) == []


def test_a_known_number_is_found_by_the_order_in_which_it_was_drawn():
    page = DrawnSheet()
    for at, digit in enumerate("000123456"):
        page.text(40 + 60 * (at * 5 % 9), 700 - 70 * (at * 7 % 9), digit)
    assert ("ssn", "000123456") in page.found(KNOWN)


def test_a_known_number_is_found_drawn_backwards():
    known = (KnownNumber(Kind.ACCOUNT, Secret("00884127")),)
    page = DrawnSheet().text(40, 50, "72148800")
    assert page.found() == []
    assert page.found(known) == [("account", "00884127")]


def test_what_is_written_holds_the_marks_and_spaces_between_the_digits():
    page = DrawnSheet().text(40, 50, "SSN 000-12 3456 and more")
    (match,) = page.matches()
    assert "".join(page.drawn[place[0]] for place in match.written) == "000-12 3456"
    assert "".join(page.drawn[place[0]] for place in match.hidden) == "00012"


def test_a_kind_that_stays_is_not_found():
    page = DrawnSheet().text(40, 50, "EIN 07-0000017").text(40, 64, "SSN 000-12-3456")
    assert page.found(policy=MaskPolicy()) == [("ssn", "000123456")]


def test_an_empty_page_and_empty_runs_hold_nothing():
    assert DrawnSheet().found(KNOWN) == []
    assert DrawnSheet().text(40, 50, "").text(40, 60, " ").found(KNOWN) == []


def test_a_label_in_the_cell_of_a_run_beats_the_caption_above():
    page = DrawnSheet().text(40, 50, "Your social security number", 7)
    assert page.text(40, 64, "Routing number 111000025").found() == []


def test_nine_boxes_below_the_caption_of_a_pin_are_no_pin():
    page = DrawnSheet().text(40, 50, "IP PIN", 7).text(40, 64, "000123456", pitch=9)
    assert page.found() == [("ssn", "000123456")]


def test_a_column_goes_on_below_several_numbers_that_are_masked():
    page = DrawnSheet().text(40, 50, "CUSIP", 7).text(40, 64, "037833100")
    page.text(40, 76, "000-12-3456").text(40, 88, "666-12-3457").text(40, 100, "037833101")
    assert page.found() == [("ssn", "000123456"), ("ssn", "666123457")]
    assert page.masked().found() == []


def test_an_account_ends_at_the_border_of_its_cell():
    page = DrawnSheet().text(40, 50, "Account number 0088412").text(174, 50, "84200")
    assert page.found() == [("account", "0088412")]
