"""Page numbers and ranges as a person writes them."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packets.intake.page_ranges import PageRangeError, page_range_text, parse_page_range

PAGES = st.sets(st.integers(1, 400), min_size=1, max_size=60)


@pytest.mark.parametrize(
    ("text", "pages"),
    [
        ("", ()),
        ("  ", ()),
        ("3", (3,)),
        ("1-2,5", (1, 2, 5)),
        (" 5 , 1 - 2 ", (1, 2, 5)),
        ("2–4", (2, 3, 4)),
        ("1,1,1-2", (1, 2)),
    ],
)
def test_ranges_are_read_in_ascending_order_each_page_once(
    text: str, pages: tuple[int, ...]
) -> None:
    assert parse_page_range(text) == pages


@pytest.mark.parametrize(
    "text", ["0", "1-", "-2", "2-1", "a", "1;2", "1,,2", ",", "1-2-3", "１", "9999999", "1-999999"]
)
def test_what_is_no_range_is_refused(text: str) -> None:
    with pytest.raises(PageRangeError):
        parse_page_range(text)


@given(PAGES)
def test_what_is_written_is_read_back(pages: set[int]) -> None:
    assert parse_page_range(page_range_text(tuple(pages))) == tuple(sorted(pages))


@given(PAGES)
def test_the_text_names_no_two_neighbouring_runs(pages: set[int]) -> None:
    text = page_range_text(tuple(pages))
    runs = [tuple(map(int, (piece.split("-") * 2)[:2])) for piece in text.split(",")]
    assert all(first[1] + 1 < second[0] for first, second in itertools.pairwise(runs))


@given(st.text(alphabet="0123456789,- –", max_size=20))
def test_any_text_gives_pages_or_the_one_error(text: str) -> None:
    try:
        pages = parse_page_range(text)
    except PageRangeError:
        return
    assert list(pages) == sorted(set(pages))
    assert all(page >= 1 for page in pages)
