"""The cheap look at a page misses nothing that the look at every glyph sees."""

import pymupdf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from planted_sheets import sheet_of

from packets.masking.findings import numbers_on_page
from packets.masking.page_survey import EVERY_KIND, survey_page
from packets.reading.engine import quiet_engine
from packets.reading.glyphs import page_glyphs

WORDS = ["wages", "see line 7", "SSN", "Account number", "PIN", "1,234.56", "2025", "Form 1099"]
NUMBERS = [
    "666-12-3456", "666 12 3456", "666123456", "00-1234567", "4111 1111 1111 1111", "12345",
    "000-12-3456", "666–12–3456", "６６６-12-3456",
]  # fmt: skip


def seen_cheaply(pdf: bytes) -> list[tuple[object, ...]]:
    with pymupdf.open(stream=pdf) as document:
        return [told(it) for it in survey_page(document[0], clipping=False).seen]


def seen_whole(pdf: bytes) -> list[tuple[object, ...]]:
    with pymupdf.open(stream=pdf) as document:
        page = document[0]
        return [told(it) for it in numbers_on_page(page, page_glyphs(page), (), EVERY_KIND)]


def told(number) -> tuple[object, ...]:
    places = tuple((round(x, 2), round(y, 2)) for cell in number.origins for x, y in cell)
    return str(number.kind), number.digits.reveal(), number.sureness, places


texts = st.tuples(
    st.integers(0, 5), st.integers(0, 44), st.sampled_from([*WORDS, *NUMBERS]), st.integers(6, 12)
)


@given(placed=st.lists(texts, max_size=25))
@settings(max_examples=60, deadline=None)
def test_both_looks_see_the_same_numbers(placed):
    quiet_engine()
    pdf = sheet_of([(20 + 95 * x, 780 - 17 * y, size, text) for x, y, text, size in placed])
    assert sorted(seen_cheaply(pdf), key=str) == sorted(seen_whole(pdf), key=str)


@pytest.mark.parametrize(
    "matrix", ["0 1 -1 0 100 100", "-1 0 0 -1 300 300", "0.9 0.4 -0.4 0.9 9 9"]
)
def test_a_number_on_a_turned_line_is_seen(matrix):
    quiet_engine()
    pdf = sheet_of([], extra=f"BT /F1 9 Tf {matrix} Tm (666-12-3456) Tj ET")
    assert [number[1] for number in seen_cheaply(pdf)] == ["666123456"]


@pytest.mark.parametrize("gap", [0, 11, 30, 59])
def test_a_caption_as_far_above_as_captions_reach_is_heeded(gap):
    quiet_engine()
    filler = [(20.0, 700.0 - 12 * k, 9, "words and amounts 1,234.56") for k in range(20)]
    pdf = sheet_of(
        [(300.0, 400.0 + gap, 9, "Account number"), (300.0, 388.0, 9, "123456"), *filler]
    )
    assert seen_cheaply(pdf) == seen_whole(pdf)


def test_one_digit_to_a_box_is_seen():
    quiet_engine()
    boxes = [(40.0 + 14 * k, 500.0, 10, digit) for k, digit in enumerate("666123456")]
    assert [number[1] for number in seen_cheaply(sheet_of(boxes))] == ["666123456"]
