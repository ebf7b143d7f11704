"""A reason in engagement.toml is printed on pages and lists, so it may hold no number."""

import pytest

from packets.intake.engagement import engagement_faults


def faults(why: str) -> list[str]:
    return [fault.what for fault in engagement_faults({"leave_out": [{"why": why}]})]


@pytest.mark.parametrize(
    "number",
    ["666-12-3456", "666 12 3456", "666/12/3456", "666 - 12 - 3456", "666123456", "00 1234567"],
)
def test_a_taxpayer_number_in_any_writing_is_a_fault(number: str) -> None:
    assert faults(f"it is {number} again") == ["a reason may hold no taxpayer number"]


@pytest.mark.parametrize("why", ["twice", "page 3 of 12", "part 12-34567", "see 2025-0201, 2 of 3"])
def test_other_words_are_none(why: str) -> None:
    assert faults(why) == []
