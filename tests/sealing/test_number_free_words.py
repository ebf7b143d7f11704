"""No full number gets into a name, a manifest or a ledger line."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packets.sealing.number_free import holds_number, plain_text, without_numbers


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("W-2 000-12-3456.pdf", "W-2 XXX-XX-3456.pdf"),
        ("000123456", "XXXXX3456"),
        ("000 12 3456", "XXX XX 3456"),
        ("000_12_3456_scan", "XXX_XX_3456_scan"),
        ("000.12.3456", "XXX.XX.3456"),
        ("000 – 12 – 3456", "XXX – XX – 3456"),
        ("00-0003456", "XX-XXX3456"),
        ("٠٠٠-١٢-٣٤٥٦", "XXX-XX-٣٤٥٦"),
        ("claim 000-12-3456A", "claim XXX-XX-3456A"),
        ("account 0001112223334", "account XXXXXXXXX3334"),
        ("000\u00ad12\u00ad3456", "XXX\u00adXX\u00ad3456"),
    ],
)
def test_a_number_in_a_name_is_cut_to_its_last_four(text: str, shown: str) -> None:
    assert holds_number(text)
    assert without_numbers(text) == shown


@pytest.mark.parametrize(
    "text",
    ["2025-0147", "2025-01-1234", "IMG_20260210_101530.jpg", "12345-6789", "XXX-XX-3456", ""],
)
def test_an_office_number_or_a_date_stays(text: str) -> None:
    assert not holds_number(text)
    assert without_numbers(text) == text


@given(st.text(st.sampled_from("0123456789-_ .Xa"), max_size=30))
def test_no_shape_is_left_and_twice_changes_nothing(text: str) -> None:
    once = without_numbers(text)
    assert not holds_number(once)
    assert without_numbers(once) == once
    assert len(once) == len(text)


def test_bytes_of_a_name_that_are_no_text_are_shown_not_lost() -> None:
    assert plain_text("caf\udce9.pdf") == "caf\\xe9.pdf"
    plain_text("caf\udce9.pdf").encode()
