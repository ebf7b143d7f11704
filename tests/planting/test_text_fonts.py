"""A number written in every kind of font."""

import functools

import pytest
from masking_run import known_number, mask
from other_readers import all_digits, by_pdfminer
from pikepdf import Array, Dictionary, Name
from planted_checks import assert_taken_out
from planted_fonts import (
    CODES,
    MIXED_MAP,
    ONE_BYTE_MAP,
    THREE_CODES,
    TWO_BYTE_CODES,
    character_map,
    composite,
    simple,
    true_type_page,
    type_three,
)
from planted_pages import GOING, NUMBER, sheet

KNOWN = [known_number(NUMBER)]


def page(font, codes=CODES):
    content = b"BT /F2 12 Tf 50 300 Td <" + codes.hex().encode() + b"> Tj ET"
    return sheet(content, fonts={"F2": font})


STANDARD = [
    "Helvetica", "Helvetica-Bold", "Helvetica-Oblique", "Times-Roman", "Times-BoldItalic",
    "Courier", "Courier-Bold",
]  # fmt: skip


@pytest.mark.parametrize("face", STANDARD)
def test_a_standard_font_needs_no_widths(face):
    assert_taken_out(page(lambda _: simple(face)))


UNUSUAL_SIMPLE = {
    "an alias of a standard font": lambda _: simple("ArialMT"),
    "another alias": lambda _: simple("TimesNewRomanPS-BoldMT", Subtype=Name.TrueType),
    "an unknown font without widths": lambda _: simple("Nobody-Knows"),
    "an unknown font without a name": lambda _: simple(BaseFont=None),
    "widths of its own": lambda _: simple(
        "Nobody-Knows", FirstChar=45, LastChar=57, Widths=Array([300 + 20 * k for k in range(13)])
    ),
    "a base encoding that is unknown": lambda _: simple("Helvetica", Encoding=Name.Nowhere),
}


@pytest.mark.parametrize("font", UNUSUAL_SIMPLE.values(), ids=UNUSUAL_SIMPLE.keys())
def test_a_simple_font_of_any_description_gives_the_number_up(font):
    assert_taken_out(page(font), KNOWN)


LYING = {
    "too few widths": lambda _: simple("Nobody-Knows", FirstChar=45, Widths=Array([333, 278])),
    "widths of zero": lambda _: simple("Nobody-Knows", FirstChar=45, Widths=Array([0] * 13)),
    "widths that are no numbers": lambda _: simple(
        "Nobody-Knows", FirstChar=45, Widths=Array([Name.A] * 13)
    ),
    "a standard font with widths that lie": lambda _: simple(
        "Helvetica", FirstChar=45, Widths=Array([900] * 13)
    ),
}


@pytest.mark.parametrize("font", LYING.values(), ids=LYING.keys())
def test_where_readers_disagree_on_the_places_the_number_is_gone_all_the_same(font):
    pdf = page(font)
    assert "987654320" in all_digits(pdf).values()
    result = mask(pdf, KNOWN)
    if not result.unread:
        assert not any(set(GOING) & set(digits) for digits in all_digits(result.pdf).values())


def test_codes_that_an_encoding_renames_are_the_digits_they_show():
    """Letters in the string, digits on the page."""
    names = ["nine", "eight", "seven", "hyphen", "six", "five", "hyphen", "four", "three", "two",
             "zero"]  # fmt: skip
    differences = Array([65, *(Name("/" + name) for name in names)])
    encoding = Dictionary(Type=Name.Encoding, Differences=differences)
    assert_taken_out(page(lambda _: simple(Encoding=encoding), bytes(range(65, 76))))


@pytest.mark.parametrize("scale", [0.001, 0.01, 1.0])
def test_a_type_three_font_gives_the_number_up(scale):
    pdf = page(functools.partial(type_three, scale=scale), THREE_CODES)
    result = assert_taken_out(pdf)
    assert by_pdfminer(result.pdf).strip().startswith("XXX-XX-")


COMPOSITE = {
    "Identity-H": (composite, TWO_BYTE_CODES),
    "default width only": (lambda d: composite(d, W=None), TWO_BYTE_CODES),
    "no widths at all": (lambda d: composite(d, W=None, DW=None), TWO_BYTE_CODES),
    "a range of equal widths": (lambda d: composite(d, W=Array([1, 11, 450])), TWO_BYTE_CODES),
    "vertical": (lambda d: composite(d, Name("/Identity-V")), TWO_BYTE_CODES),
    "an embedded map of one-byte codes": (
        lambda d: composite(d, character_map(d, ONE_BYTE_MAP)), THREE_CODES
    ),
    "an embedded map of mixed codes": (
        lambda d: composite(d, character_map(d, MIXED_MAP), first=0x8001),
        b"".join(bytes([0x80, k]) for k in range(1, 12)),
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", COMPOSITE.values(), ids=COMPOSITE.keys())
def test_a_composite_font_gives_the_number_up(case):
    font, codes = case
    assert_taken_out(page(font, codes), KNOWN)


@pytest.mark.parametrize("kerned", [False, True])
def test_an_embedded_subset_gives_the_number_up(kerned):
    result = assert_taken_out(true_type_page(kerned=kerned), seen_by=3)
    assert "and other words" in by_pdfminer(result.pdf)
