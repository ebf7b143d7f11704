"""What a label, a shape or knowledge makes of a run of digits, and what it must leave alone."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packets.base.secret import Secret
from packets.identifiers.find import find_in_text
from packets.identifiers.kinds import Kind, KnownNumber, MaskPolicy

POLICY = MaskPolicy()
KNOWN = (KnownNumber(Kind.SSN, Secret("666473912"), "taxpayer", given=True),)


def masked(text: str, known=()) -> str:
    characters = list(text)
    for match in find_in_text(text, known, POLICY):
        for index in match.hidden:
            characters[index] = "X"
    return "".join(characters)


@pytest.mark.parametrize(
    "text",
    [
        "Routing number 021000021",
        "35b Routing number 0 2 1 0 0 0 0 2 1 c Type",
        "Millbrook Falls, OH 43200-0418",
        "Telephone 614-555-0119",
        "(614) 555-0119",
        "1-800-829-1040",
        "OMB No. 1545-0074",
        "Cat. No. 11320B",
        "Invoice number 900417263",
        "Total $1,234,567.89",
        "123456789.00",
        "03/15/2026",
        "EFIN 123456",
        "PTIN P00004172",
        "d Control number 000118274",
        "Employer identification number (EIN) 00-4007263",
        "1 2 3 4 5 6 7 8 9",
        "523.45 2025 1234",
        "Attachment Sequence No. 08",
        "Form 1040 (2025)",
    ],
)
def test_look_alikes_stay(text):
    assert masked(text) == text


@pytest.mark.parametrize(
    ("text", "after"),
    [
        ("Your social security number\n000-12-3456", "Your social security number\nXXX-XX-3456"),
        ("RECIPIENT\u2019S TIN 000-12-3456", "RECIPIENT\u2019S TIN XXX-XX-3456"),
        ("Claim number 000-12-3456A", "Claim number XXX-XX-3456A"),
        ("SSN 000 123 456", "SSN XXX XX3 456"),
        ("EIN 000-12-3456", "EIN XXX-XX-3456"),
        ("000-12-\n3456", "XXX-XX-\n3456"),
        ("\uff10\uff10\uff10-\uff11\uff12-3456", "XXX-XX-3456"),
        ("0\u200b0\u200b0-12-3456", "X\u200bX\u200bX-XX-3456"),
        ("000\u201312\u20133456", "XXX\u2013XX\u20133456"),
        ("Account number (see inst.) 7700-123456", "Account number (see inst.) XXXX-XX3456"),
        ("Identity Protection PIN 418203", "Identity Protection PIN XXXXXX"),
        ("to generate my PIN 4 1 8 2 7 as my", "to generate my PIN X X X X X as my"),
        ("987654320", "XXXXX4320"),
    ],
)  # fmt: skip
def test_labelled_and_shaped_numbers_go(text, after):
    assert masked(text) == after


@pytest.mark.parametrize(
    "text",
    ["666473912", "6 6 6 4 7 3 9 1 2", "666\n47\n3912", "666.47.3912", "a 666 b 47 c 3912 d"],
)
def test_a_known_number_goes_however_it_is_broken(text):
    after = masked(text, KNOWN)
    assert "".join(char for char in after if char.isdigit()) == "3912"


def test_line_numbers_are_not_a_known_number_that_counts_up():
    known = (KnownNumber(Kind.SSN, Secret("123456789"), "taxpayer", given=True),)
    lines = "\n".join(f"{number} Some line of a form" for number in range(1, 10))
    assert masked(lines, known) == lines
    assert masked("123-45-6789", known) == "XXX-XX-6789"


SEPARATORS = st.sampled_from(["", "-", " ", ".", "/", "\u2013", " - ", "\n", "\t", "\u200b", " | "])


@given(st.lists(SEPARATORS, min_size=8, max_size=8), st.text(alphabet="abc ,\n", max_size=20))
def test_known_digits_are_found_with_any_marks_between(separators, words):
    number = "666473912"
    written = number[0] + "".join(s + d for s, d in zip(separators, number[1:], strict=True))
    text = f"{words} {written} {words}"
    matches = find_in_text(text, KNOWN, POLICY)
    found = ["".join(text[i] for i in match.digits) for match in matches]
    assert number in found


@given(st.text(max_size=200))
def test_any_text_is_read_without_a_fault_and_matches_share_no_digit(text):
    matches = find_in_text(text, KNOWN, POLICY)
    indexes = [i for match in matches for i in match.digits]
    assert len(indexes) == len(set(indexes))
    assert all(0 <= i < len(text) for i in indexes)


@given(st.text(alphabet="0123456789-X* \nSNa.", max_size=80))
def test_masking_its_own_output_changes_nothing(text):
    once = masked(text, KNOWN)
    assert masked(once, KNOWN) == once
