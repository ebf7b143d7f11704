"""How numbers are written by hand, by software and by OCR, and what only looks like one."""

import pytest

from packets.base.secret import Secret
from packets.identifiers.find import find_in_text
from packets.identifiers.kinds import ALL_KINDS, Kind, KnownNumber, MaskPolicy
from packets.identifiers.records import Sureness

EVERY_KIND = MaskPolicy(kinds=ALL_KINDS)


def places(text: str, known: tuple[KnownNumber, ...] = ()) -> list[str]:
    """What stands where digits were found, number by number."""
    matches = find_in_text(text, known, EVERY_KIND)
    return ["".join(text[i] for i in match.digits) for match in matches]


@pytest.mark.parametrize(
    "written",
    [
        "000-12-3456", "000 12 3456", "000.12.3456", "000/12/3456", "000_12_3456", "000|12|3456",
        "000,12,3456", "000\u201312\u20133456", "000\u201412\u20143456", "000\u201212\u20123456",
        "000\u221212\u22123456", "000\u00b712\u00b73456", "000\u202212\u20223456",
        "000\u00a012\u00a03456", "000\u200912\u20093456", "000 - 12 - 3456", "000- 12-3456",
        "000 -12 - 3456", "000 12-3456", "000-12 3456", "000.12-3456", "00 0-12-34 56",
        "0 0 0 - 1 2 - 3 4 5 6", "0 0 0 1 2 3 4 5 6", "0|0|0|1|2|3|4|5|6", "000123456",
        "0\t0\t0\t1\t2\t3\t4\t5\t6", "0 0 0\t1 2\t3 4 5 6",
    ],
)  # fmt: skip
def test_an_ssn_is_found_without_any_label(written):
    assert places(written) == ["000123456"]
    assert places(f"Jane Sample ({written}), of Springfield") == ["000123456"]


@pytest.mark.parametrize(
    "broken", ["000-12-\n3456", "000-\n12-3456", "000-12\n-3456", "000 -\n12-3456"]
)
def test_a_dash_carries_a_number_over_the_end_of_a_line(broken):
    assert places(f"Taxpayer {broken}.") == ["000123456"]


def test_three_fields_below_one_label_are_one_number():
    assert places("Social security number\n000\n12\n3456\nor") == ["000123456"]
    assert places("Wages\n000\n12\n3456\nor") == []


@pytest.mark.parametrize(
    "script", ["\u0660", "\u06f0", "\u0966", "\uff10", "\U0001d7ce", "\U0001d7f6"]
)
def test_every_digit_script_counts(script):
    written = "".join(
        chr(ord(script) + int(char)) if char.isdigit() else char for char in "000-12-3456"
    )
    assert len(places(written)[0]) == 9


@pytest.mark.parametrize(
    "digits",
    [
        "〇一二三四五六七八九",
        "零壹贰叁肆伍陆柒捌玖",
        "〇〡〢〣〤〥〦〧〨〩",
        "".join(map(chr, range(0xE0030, 0xE003A))),
        "⠚⠁⠃⠉⠙⠑⠋⠛⠓⠊",
        "⠴⠂⠆⠒⠲⠢⠖⠶⠦⠔",
    ],
    ids=["Han", "Han for sums", "Suzhou", "tags", "Braille", "lower Braille"],
)
def test_numerals_that_are_no_decimal_digits_count_as_well(digits):
    written = "".join(digits[int(char)] if char.isdigit() else char for char in "000-12-3456")
    assert len(places(f"Social security number {written}")[0]) == 9


def test_circled_and_raised_digits_count_too_but_a_footnote_does_not_lengthen_a_number():
    assert places("\u2070\u2070\u2070-\u00b9\u00b2-\u00b3\u2074\u2075\u2076")
    assert places("000-12-3456\u00b9") == ["000123456"]
    assert places("000123456\u00b2, see note 2") == ["000123456"]


@pytest.mark.parametrize("zero_width", ["\u00ad", "\u200b", "\u2060", "\ufeff", "\u202e", "\u0301"])
def test_what_cannot_be_seen_hides_nothing(zero_width):
    assert places(zero_width.join("000-12-3456")) == ["000123456"]
    assert places(zero_width.join("000123456")) == ["000123456"]


@pytest.mark.parametrize("misread", [
    "OOO-12-3456", "000-l2-3456", "O00-I2-3456", "000-|2-3456", "000-l2-34S6", "00b-1Z-3456",
    "0QD-12-345G", "000-12-34sg",
])  # fmt: skip
def test_letters_that_stand_for_digits_are_read_as_such_in_a_dashed_shape(misread):
    (match,) = find_in_text(misread, (), EVERY_KIND)
    assert (match.kind, match.sureness) == (Kind.SSN, Sureness.SHAPE)
    assert "".join(misread[i] for i in match.hidden) == misread.replace("-", "")[:5]


@pytest.mark.parametrize(
    "neighbours",
    [
        "000-12-3456 000 12 3456", "000 12 3456 000-12-3456", "000123456,000123456",
        "000 12 3456 000 12 3456", "000-12-3456/000-12-3456", "000-12-3456 0 0 0 1 2 3 4 5 6",
        "000123456; 000-12-3456", "0 0 0 1 2 3 4 5 6\t0 0 0 1 2 3 4 5 6",
    ],
)  # fmt: skip
def test_numbers_side_by_side_are_both_found(neighbours):
    assert places(neighbours) == ["000123456", "000123456"]


def test_a_card_is_found_beside_another_number():
    assert places("2025 4111 1111 1111 1111") == ["4111111111111111"]
    assert places("4111 1111 1111 1111 000 12 3456") == ["4111111111111111", "000123456"]


@pytest.mark.parametrize(
    "text",
    [
        "62704-1234", "Springfield, ST 00000-1234", "SSN on file. Springfield, ST 62704-1234",
        "(555) 555-0100", "555-555-0199", "555.555.0199", "1-800-829-1040", "+1 555 555 0100",
        "1545-0074", "123,456.78", "1,234,567.89", "123,456,789", "$123456789", "$ 123456789",
        "123456789.00", "0.123456789", "40.712345678", "3.14159265358979", "7.65%",
        "03/03/2026", "2026-04-15", "20260303123456", "SSN applied for 10/15/2025",
        "P01234567", "PTIN P00012345", "EFIN 000714", "ETIN 12345",
        "Submission ID 00000020260447712345",
        "00000020260447712345", "12345-678-90123-4", "Cat. No. 11320B", "ISBN 978-0-306-40615-7",
        "1 2 3 4 5 6 7 8 9", "|1|2|3|4|5|6|7|8|9|", "1 2 3 4 5 6 7 8 9 10 11 12",
        "2019 2020 2021 2022 2023", "123.45 2025 1,200", "300 900 50 2500 400", "100% 12% 2024",
        "(100) (12) (2024)", "see pages 100, 12, 2024", "26 CFR 301.6109-4", "1.234.56.7890",
        "24 Add lines 22 and 23. This is your total tax 24 12,345", "Line 1a 1b 1c 2 3 4 5 6 7",
        "Social security wages 52,000.00", "Social security tax withheld 322400 84200",
        "Wages 52,000 Federal 6,300 State 2,100", "12-345678", "12-34567890", "1234-56-7890",
        "49927398716", "PIN pad 41827", "PIN mailed to Springfield, ST 62704",
    ],
)  # fmt: skip
def test_what_its_shape_explains_stays(text):
    assert places(text) == []


SHORT = (KnownNumber(Kind.IP_PIN, Secret("123456"), given=True),)


@pytest.mark.parametrize("written", ["123456", "123 456", "123-456", "1 2 3 4 5 6", "(123456)"])
def test_a_short_known_number_is_found_where_it_stands_together(written):
    assert places(written, SHORT) == ["123456"]


@pytest.mark.parametrize("written", ["123,456", "1,234.56", "1234.56", "0123456", "12 of 3456"])
def test_a_short_known_number_is_not_seen_in_amounts_and_longer_numbers(written):
    assert places(written, SHORT) == []


def test_a_known_number_of_a_kind_that_stays_is_left_unless_it_was_given():
    learned = (KnownNumber(Kind.EIN, Secret("070000017")),)
    assert find_in_text("07-0000017", learned, MaskPolicy()) == ()
    given = (KnownNumber(Kind.EIN, Secret("070000017"), given=True),)
    (match,) = find_in_text("07-0000017", given, MaskPolicy())
    assert match.given
    assert match.how_sure == "known number"


BEHIND_THEIR_LABEL = [
    "SSN 000\n12\n3456",
    "SSN: 000-12\n3456",
    "SSN 000\n12-3456",
    "Social security number\n000\n12\n3456",
]
OF_OTHER_THINGS = [
    "Page 100\n12\n2025",
    "Order number 000\n12\n3456",
    "SSN on file. Suite 000\n12\n3456",
    "SSN 000\n12\n3456.78",
]


@pytest.mark.parametrize("text", BEHIND_THEIR_LABEL)
def test_a_label_holds_a_number_together_over_lines(text):
    (match,) = find_in_text(text, (), EVERY_KIND)
    assert "".join(text[place] for place in match.digits) == "000123456"


@pytest.mark.parametrize("text", OF_OTHER_THINGS)
def test_lines_of_digits_without_a_label_of_theirs_are_no_number(text):
    assert find_in_text(text, (), EVERY_KIND) == ()
