"""The second scan by itself: it must find without the shared finder, and stay quiet elsewhere."""

import ast
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packets.base.secret import Secret
from packets.identifiers.kinds import Kind, KnownNumber, MaskPolicy
from packets.outbound import crude_scan
from packets.outbound.crude_scan import CrudeScan, Hit
from packets.outbound.hunting import Hunter

KNOWN = (
    KnownNumber(Kind.SSN, Secret("000123456")),
    KnownNumber(Kind.CARD, Secret("4111111111111111")),
    KnownNumber(Kind.IP_PIN, Secret("901234")),
)
SCAN = CrudeScan(KNOWN, MaskPolicy())
NOBODY = CrudeScan((), MaskPolicy())
ZEROS = "0٠۰०০੦๐０𝟎⓪₀"
"""Zero in several scripts and styles."""

FORMS = [
    "000-12-3456",
    "000123456",
    "0 0 0 1 2 3 4 5 6",
    "000.12.3456",
    "000/12/3456",
    "000‑12–3456",
    "0001\u200b23\u200d456",
    "000\u00ad12\u00ad3456",
    "000-12-\n3456",
    "W2000123456A",
    "٠٠٠-١٢-٣٤٥٦",
    "０００－１２－３４５６",
]


@pytest.mark.parametrize("written", FORMS)
def test_a_known_number_is_found_in_every_written_form(written: str) -> None:
    assert Hit("ssn", "known number") in SCAN.in_text(f"about {written} here")


@given(
    st.lists(
        st.sampled_from(["", " ", "-", ".", " - ", "\n", "\u2009", "|", "\u200b"]),
        min_size=8,
        max_size=8,
    )
)
def test_any_marks_between_the_digits_hide_nothing(marks: list[str]) -> None:
    written = "".join(d + m for d, m in zip("000123456", [*marks, ""], strict=True))
    assert Hit("ssn", "known number") in SCAN.in_text(written)


@pytest.mark.parametrize("zero", ZEROS)
def test_digits_of_every_script_count(zero: str) -> None:
    assert Hit("ssn", "known number") in SCAN.in_text(f"{zero * 3}123456")


def test_a_number_written_backwards_is_found_where_asked() -> None:
    assert SCAN.in_text("654321000") == set()
    assert SCAN.in_text("654321000", backwards=True) == {Hit("ssn", "known number")}


@pytest.mark.parametrize(
    "written", ["666-12-3457", "666 12 3457", "666 - 12 - 3457", "666–12–3457"]
)
def test_a_shape_is_found(written: str) -> None:
    assert NOBODY.in_text(f"about {written} here") == {Hit("ssn", "shape")}


@pytest.mark.parametrize("written", ["900-93-0002", "900-70-0001"])
def test_a_shape_tells_its_kind(written: str) -> None:
    assert NOBODY.in_text(written) in ({Hit("atin", "shape")}, {Hit("itin", "shape")})


@pytest.mark.parametrize(
    "written",
    [
        "XXX-XX-3457",
        "555-555-0199",
        "00000-1234",
        "2026-03-03",
        "1-666-12-34578",
        "1666-12-3457",
        "4 666 12 3457 9",
        "123.45 2025",
        "07-0000017",
    ],
)
def test_other_shapes_are_left_alone(written: str) -> None:
    assert NOBODY.in_text(f"about {written} here") == set()


def test_a_kept_kind_is_no_hit() -> None:
    keep = MaskPolicy(keep=frozenset({Kind.SSN}))
    assert CrudeScan(KNOWN[:1], keep).in_text("000-12-3456 and 666-12-3457") == set()


def test_a_given_number_counts_whatever_its_kind() -> None:
    given_ein = (KnownNumber(Kind.EIN, Secret("070000017"), given=True),)
    assert CrudeScan(given_ein, MaskPolicy()).in_text("07-0000017") == {Hit("ein", "known number")}


@pytest.mark.parametrize("written", ["PIN 901234", "901 234", "(901234)"])
def test_a_short_known_number_is_found_as_a_word(written: str) -> None:
    assert Hit("ip-pin", "known number") in SCAN.in_text(written)


@pytest.mark.parametrize("written", ["8901234", "901,234.00", "$901234", "901234.50", "A901234"])
def test_a_short_known_number_is_not_found_inside_others(written: str) -> None:
    assert SCAN.in_text(written) == set()


@pytest.mark.parametrize("encoding", ["ascii", "utf-16-le", "utf-16-be", "utf-8"])
def test_bytes_are_searched_in_every_encoding(encoding: str) -> None:
    data = b"\x01\x02" + "x 000-12-3456 y".encode(encoding) + b"\xff"
    assert Hit("ssn", "known number") in SCAN.in_bytes(data)
    assert Hit("ssn", "shape") in NOBODY.in_bytes(data)


def test_coordinates_are_no_known_number() -> None:
    assert SCAN.in_bytes(b"0.0001 23 45.6 m 00 01 2345 6 l 0001 2.3456 c") == set()


@pytest.mark.parametrize("read", ["000128456", "00123456", "0000123456", "000 12 3056"])
def test_one_misread_digit_hides_no_known_number(read: str) -> None:
    assert Hit("ssn", "known number") in SCAN.nearly_in(f"Taxpayer {read} Spouse")


@pytest.mark.parametrize("read", ["000128456", "000-12-346", "0000123456", "000 12 3056"])
def test_a_known_number_that_a_scanner_misread_is_seen_in_the_text_of_a_page(read: str) -> None:
    assert Hunter(KNOWN, MaskPolicy()).in_page(f"Taxpayer {read} Spouse") != ()


def test_other_numbers_that_end_alike_are_no_known_number_misread() -> None:
    text = "Taxpayer XXX-XX-3456, account ending in 3456, 12345 Elm Street, 98-12-3456 1"
    assert SCAN.known_nearly_in(text) == set()


@pytest.mark.parametrize("read", ["666:12-3457", "666-12 3457", "666 12~3457", "666=12=3457"])
def test_a_misread_dash_hides_no_shape(read: str) -> None:
    assert NOBODY.nearly_in(f"Taxpayer {read} Spouse") == {Hit("ssn", "shape")}


@pytest.mark.parametrize("read", ["12:30 2025", "123.45 2025", "100 00 2000"])
def test_times_and_amounts_are_no_misread_shape(read: str) -> None:
    assert NOBODY.nearly_in(f"about {read} here") == set()


def test_it_shares_no_pattern_with_the_finder() -> None:
    tree = ast.parse(Path(crude_scan.__file__).read_text())
    imported = {
        node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom) and node.module
    }
    ours = {name for name in imported if name.startswith("packets")}
    assert ours == {"packets.identifiers.kinds", "packets.identifiers.ranges"}


def test_words_between_the_digits_hide_nothing_on_a_page() -> None:
    written = "first 000 then 12 and 3456"
    assert SCAN.in_text(written) == set()
    assert SCAN.in_text(written, through_words=True) == {Hit("ssn", "known number")}


def test_line_numbers_down_a_page_are_no_number_written_backwards() -> None:
    scan = CrudeScan((KnownNumber(Kind.SSN, Secret("987654321")),), MaskPolicy())
    ruler = "\n".join(f"{n} Wages and tips" for n in range(1, 10))
    assert scan.in_text(ruler, backwards=True, through_words=True) == set()
    bare = "\n".join("123456789")
    assert scan.in_text(bare, backwards=True, through_words=True) == set()
