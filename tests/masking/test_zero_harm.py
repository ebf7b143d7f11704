"""Nothing but the cells of the masked digits changes, and the mask stands in them."""

import contextlib
import functools

import pypdfium2
import pytest
from masking_run import known_number, mask
from other_readers import READERS, by_pdfium
from pixels import colours_in, differs_outside, ink_box
from planted_fonts import TWO_BYTE_CODES, composite, true_type_page, type_three
from planted_pages import NUMBER, form, sheet

N = NUMBER.encode()
KNOWN = [known_number(NUMBER)]
CLOSE = b"\n".join(
    b"BT /F1 10 Tf 40 %f Td (line above and below: qpgy AVAIL [] 100.00) Tj ET" % (300 + 4.5 * k)
    for k in (-2, -1, 1, 2)
)
"""Lines at 4.5 points around the one that holds the number."""
DRAWN = b"0.9 0.95 1 rg 40 290 200 24 re f 0 g 1 0 0 RG 40 295 m 240 295 l S "


def text_page(text: bytes = N, around: bytes = b"", setup: bytes = b"") -> bytes:
    return sheet(around + setup + b" BT /F1 10 Tf 50 300 Td (" + text + b") Tj ET")


def cells(pdf: bytes) -> list[tuple[float, float, float, float]]:
    """The first five digits of the number by PDFium, in points from the upper left."""
    found = []
    with contextlib.closing(pypdfium2.PdfDocument(pdf)) as document:
        page = document[0]
        height = page.get_height()
        text = page.get_textpage()
        whole = text.get_text_range()
        start = whole.index(NUMBER)
        for k in (0, 1, 2, 4, 5):
            left, bottom, right, top = text.get_charbox(start + k, loose=True)
            found.append((left, height - top, right, height - bottom))
    return found


PAGES = {
    "alone": text_page(),
    "lines at 4.5 points above and below": text_page(around=CLOSE),
    "on a coloured box with lines": text_page(around=DRAWN),
    "within a sentence": text_page(b"Please find " + N + b" in the usual place."),
    "in colour": text_page(setup=b"0.1 0.4 0.1 rg"),
    "spaced": text_page(setup=b"BT 3 Tc 2 Tw ET"),
    "narrow": text_page(setup=b"BT 60 Tz ET"),
    "in a form": sheet(
        DRAWN + b"q /X1 Do Q", resources={"XObject": {"X1": form(b"BT /F1 10 Tf 50 300 Td ("
        + N + b") Tj ET")}}),
    "embedded subset": true_type_page(),
}  # fmt: skip


@pytest.mark.parametrize("pdf", PAGES.values(), ids=PAGES.keys())
def test_only_the_digits_cells_change(pdf):
    result = mask(pdf, KNOWN)
    assert len(result.masks) == 1
    assert differs_outside(pdf, result.pdf, cells(pdf)) == 0
    assert differs_outside(pdf, result.pdf, []) > 0


@pytest.mark.parametrize("glyph", ["X", "*"])
@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize("name", ["alone", "within a sentence", "narrow", "embedded subset"])
def test_the_mask_reads_in_one_piece(name, reader, glyph):
    result = mask(PAGES[name], KNOWN, glyph=glyph)
    assert f"{glyph * 3}-{glyph * 2}-4320" in READERS[reader](result.pdf)
    assert result.masks[0].shown == f"{glyph * 3}-{glyph * 2}-4320"


WRITTEN = {
    "987654320": "XXXXX4320",
    "987 65 4320": "XXX XX 4320",
    "987-65-4320": "XXX-XX-4320",
    "09-7654320": "XX-XXX4320",
}


@pytest.mark.parametrize("written", WRITTEN)
def test_the_mask_keeps_the_punctuation(written):
    result = mask(text_page(b"Taxpayer number: " + written.encode()), KNOWN)
    assert WRITTEN[written] in by_pdfium(result.pdf)
    assert result.masks[0].shown == WRITTEN[written]


def test_the_mask_has_the_colour_of_the_digits():
    pdf = text_page(setup=b"0.8 0 0.2 rg")
    area = (50, 90, 66.7, 102)
    dark = {colour for colour in colours_in(mask(pdf).pdf, area) if colour[0] > 150 > colour[1]}
    assert (204, 0, 51) in dark


@pytest.mark.parametrize(
    ("scale", "size"), [(0.001, 1.0), (1.0, 1.0), (1.0, 12.0), (0.012, 12.0), (0.01, 0.02)]
)
def test_the_mask_has_the_size_of_the_digits_whatever_the_units_of_their_font(scale, size):
    codes = bytes(range(1, len(NUMBER) + 1)).hex().encode()
    content = b"BT /F2 %f Tf 50 300 Td <%s> Tj ET" % (12 / size, codes)
    pdf = sheet(content, fonts={"F2": functools.partial(type_three, scale=scale, size=size)})
    box = ink_box(mask(pdf).pdf, (49, 80, 72, 110))
    assert box is not None
    assert 5 < box[3] - box[1] < 11


def test_the_mask_lies_on_the_line_of_the_digits():
    pdf = text_page()
    before, after = (ink_box(p, (50, 80, 66.6, 120)) for p in (pdf, mask(pdf).pdf))
    assert before is not None
    assert after is not None
    assert abs(before[3] - after[3]) < 0.7
    assert abs(before[1] - after[1]) < 0.7


def test_a_blanked_number_leaves_its_room():
    result = mask(text_page(b"SSN: " + N + b" end"), KNOWN, blank=True)
    text = by_pdfium(result.pdf)
    assert not any(char.isdigit() for char in text)
    assert "end" in text
    assert result.masks[0].shown.replace(" ", "") == "--"


def test_text_of_a_composite_font_after_the_number_stays_in_place():
    codes = (TWO_BYTE_CODES + TWO_BYTE_CODES[-4:]).hex().encode()
    pdf = sheet(b"BT /F2 12 Tf 50 300 Td <" + codes + b"> Tj ET", fonts={"F2": composite})
    assert differs_outside(pdf, mask(pdf, KNOWN).pdf, [(50, 85, 86, 105)]) == 0
