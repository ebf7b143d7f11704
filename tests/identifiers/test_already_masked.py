"""What is masked already is no number, and answers the label before it."""

import pytest

from packets.identifiers.already_masked import Masks
from packets.identifiers.find import find_in_text
from packets.identifiers.kinds import ALL_KINDS, MaskPolicy

EVERY_KIND = MaskPolicy(kinds=ALL_KINDS)


def places(text: str) -> list[str]:
    matches = find_in_text(text, (), EVERY_KIND)
    return ["".join(text[i] for i in match.digits) for match in matches]


@pytest.mark.parametrize(
    "mask",
    [
        "XXX-XX-3456", "***-**-3456", "xxx-xx-3456", "XX-XXX0017", "XXXXX3456", "XXX XX 3456",
        "XXXXXX2073", "XXXX-X0-418", "XXXX XXXX XXXX 1111", "XXXX-XXXX-XXXX-1111", "X2345",
        "X X X X X 3 4 5 6", "X\\tX\\tX\\tX\\tX\\t3\\t4\\t5\\t6",
    ],
)  # fmt: skip
@pytest.mark.parametrize("label", ["", "SSN ", "Account number: ", "EIN\n", "Card number ", "TIN "])
def test_a_mask_is_left_alone_and_answers_its_label(mask, label):
    mask = mask.replace("\\t", "\t")
    assert places(f"{label}{mask}") == []
    assert places(f"{label}{mask} on 12/31/2025") == []
    assert places(f"{label}{mask}\n84200") == []


@pytest.mark.parametrize("mask", ["XXXXX", "XXXXXX", "XXXXXXXXXXX", "X X X X X", "*****"])
def test_a_masked_pin_answers_its_label(mask):
    assert places(f"Enter your five-digit PIN {mask} 84200") == []


@pytest.mark.parametrize(
    "text",
    [
        "X 000-12-3456", "XXX 000-12-3456", "XXX000-12-3456", "XXXXXX000-12-3456",
        "***** 0 0 0 1 2 3 4 5 6", "X X X X X 0 0 0 1 2 3 4 5 6", "X 0 0 0 1 2 3 4 5 6",
        "* * * * * * 000123456", "XXXXX 000123456", "***000123456", "XXX-XX-000-12-3456",
        "SSN XXXXX 000123456", "Routing number XXXXX0021 000123456",
    ],
)  # fmt: skip
def test_ticks_and_ornaments_before_a_number_hide_nothing(text):
    assert places(text) == ["000123456"]


def test_a_pattern_behind_a_label_does_not_answer_for_a_number_that_follows():
    assert places("Account number (format: XXXXX) 0088412073") == ["0088412073"]


def test_the_line_keeps_its_length_and_loses_only_kept_digits():
    masks = Masks("SSN XXX-XX-3456 and 000-12-3456")
    assert masks.without_digits() == "SSN XXX-XX-XXXX and 000-12-3456"
    assert masks.blanked() == "SSN             and 000-12-3456"
