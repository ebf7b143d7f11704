"""No number in the sample folders can belong to a person or a firm."""

import re
from pathlib import Path

import pytest
from sample_scan import digit_runs, digits_only, sample_files, short, words_of

PUBLISHED_ROUTING = {"111000025", "021000021"}
PUBLISHED_CARDS = {"4111111111111111", "4012888888881881"}
PUBLISHED_VOID = {"078051120", "219099999", "123456789", *(f"98765432{n}" for n in range(10))}
UNLISTED_EIN_PREFIXES = {
    *("00", "07", "08", "09", "17", "18", "19", "28", "29", "49"),
    *("69", "70", "78", "79", "89", "96", "97"),
}
TELEPHONE = re.compile(r"\b\d{3}-\d{3}-\d{4}\b")


def never_assigned(nine: str) -> bool:
    """POMS RM 10201.035, and the numbers that were published and voided."""
    area, group, serial = nine[:3], nine[3:5], nine[5:]
    impossible = area in ("000", "666") or area[0] == "9" or group == "00" or serial == "0000"
    return impossible or nine in PUBLISHED_VOID


def passes_luhn(digits: str) -> bool:
    total = 0
    for place, digit in enumerate(reversed(digits)):
        value = int(digit) * (2 if place % 2 else 1)
        total += value - 9 if value > 9 else value
    return total % 10 == 0


@pytest.mark.parametrize("path", sample_files(), ids=short)
def test_every_nine_digits_were_never_assigned_to_anyone(path: Path) -> None:
    nines = {digits_only(run) for run in digit_runs(words_of(path))}
    suspects = {n for n in nines if len(n) == 9 and n not in PUBLISHED_ROUTING}
    assert not {n for n in suspects if not never_assigned(n)}


@pytest.mark.parametrize("path", sample_files(), ids=short)
def test_every_employer_number_has_a_prefix_that_the_irs_does_not_list(path: Path) -> None:
    for found in re.findall(r"(?<![\d-])(\d\d)-\d{7}(?![\d-])", words_of(path)):
        assert found in UNLISTED_EIN_PREFIXES


@pytest.mark.parametrize("path", sample_files(), ids=short)
def test_every_long_number_that_could_be_a_card_is_a_published_test_card(path: Path) -> None:
    long = {digits_only(run) for run in digit_runs(words_of(path))}
    cards = {n for n in long if 13 <= len(n) <= 19 and passes_luhn(n)}
    assert cards <= PUBLISHED_CARDS


@pytest.mark.parametrize("path", sample_files(), ids=short)
def test_every_telephone_is_one_kept_for_fiction(path: Path) -> None:
    # Rev. Proc. 2013-14 has every consent print this number of the Inspector General.
    words = words_of(path).replace("1-800-366-4484", "")
    for found in TELEPHONE.findall(words):
        assert re.fullmatch(r"\d{3}-555-01\d\d", found)


def test_the_scan_sees_what_stands_in_text_fields_pictures_and_bar_codes() -> None:
    """Else the tests above could pass on folders that they cannot read."""
    seen = {short(path): words_of(path) for path in sample_files(".pdf", ".png", ".jpg", ".tif")}
    joint = seen["joint-return/documents/2025-tax-return.pdf"]
    assert "666-12-3481" in joint
    assert "666123481" in joint
    scan = seen["joint-return/documents/w-2/scan-0007.pdf"]
    assert "666-12-3481" in scan
    assert "\r666123481\r" in scan
    assert "666-12-3481" in seen["joint-return/documents/identity/scan-0003.png"]
    assert "4012 8888 8888 1881" in seen["joint-return/documents/receipt/IMG_2041.jpg"]
    tiff = seen["joint-return/documents/scan-0012.tif"]
    assert "4111 1111 1111 1111" in tiff
    assert "666-30-1946" in tiff


def test_what_only_looks_like_a_taxpayer_number_is_there_to_be_left_alone() -> None:
    words = words_of(
        next(p for p in sample_files() if short(p).endswith("return/documents/invoice.pdf"))
    )
    assert {"900417263", "614-555-0119", "43200-0418"} <= digit_runs(words)


@pytest.mark.parametrize(
    "groups", [("412", "01", "7305"), ("123", "45", "6788"), ("07", "3109264")]
)
def test_the_rule_for_never_assigned_numbers_refuses_possible_ones(groups: tuple[str, ...]) -> None:
    assert not never_assigned("".join(groups))
