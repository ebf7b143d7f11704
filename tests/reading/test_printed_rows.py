"""The strings of a page give the lines that its single words give."""

import io
from dataclasses import replace
from pathlib import Path

import pymupdf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from reportlab.pdfgen.canvas import Canvas

from packets.identifiers.digits import only_digits
from packets.masking.survey import survey_document
from packets.reading.drawn_strings import drawn_strings
from packets.reading.engine import quiet_engine
from packets.reading.first_look import first_look, look_at
from packets.reading.ocr import OcrReader
from packets.reading.page_text import read_page
from packets.reading.printed_rows import grouped, pieces_of

SAMPLES = sorted((Path(__file__).parents[2] / "sample_pdfs").rglob("*.pdf"))
quiet_engine()

placed = st.tuples(
    st.integers(20, 500),
    st.integers(20, 760),
    st.sampled_from(["wages", "Form 1040", "1,234.56", "a  b", "Your social security number"]),
    st.sampled_from([7, 9, 9, 9, 14]),
    st.sampled_from(["Helvetica", "Helvetica-Bold"]),
)


def drawn(texts) -> bytes:
    target = io.BytesIO()
    canvas = Canvas(target, pagesize=(612, 792), invariant=True)
    for x, y, text, size, font in texts:
        canvas.setFont(font, size)
        canvas.drawString(x, y, text)
    canvas.showPage()
    canvas.save()
    return target.getvalue()


def by_words(strings):
    return grouped(list(pieces_of(replace(strings, plain=False))))


@given(st.lists(placed, min_size=1, max_size=12))
@settings(max_examples=80)
def test_strings_and_words_give_the_same_lines(texts):
    with pymupdf.open(stream=drawn(texts)) as document:
        strings = drawn_strings(document[0])
        rows = grouped(list(pieces_of(strings)))
        words = by_words(strings)
    assert [line.text for line in rows] == [line.text for line in words]
    assert [line.box for line in rows] == [pytest.approx(line.box, abs=0.01) for line in words]


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_the_samples_give_the_same_lines_by_strings_and_by_words(path):
    with pymupdf.open(path) as document:
        if document.needs_pass:
            pytest.skip("locked")
        for page in document:
            strings = drawn_strings(page)
            rows, words = grouped(list(pieces_of(strings))), by_words(strings)
            assert [line.text for line in rows] == [line.text for line in words]


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_a_look_taken_with_the_inventory_is_the_look_that_the_survey_takes(path):
    with pymupdf.open(path) as document:
        for page in document:
            strings = drawn_strings(page)
            if strings.tell_all and not page.rotation:
                assert look_at(strings, page.rect.height) == first_look(page)


def test_a_survey_sees_the_same_with_the_looks_of_the_inventory():
    pdf = drawn(
        [(54, 700, "Your social security number  666-12-3456", 9, "Helvetica")]
        + [(54, 600 - 12 * at, f"line {at}   1,234.56", 9, "Helvetica") for at in range(30)]
    )
    with OcrReader() as ocr, pymupdf.open(stream=pdf) as document:
        looks = [read_page(document, 0, ocr).look]
        assert looks[0] is not None
        seen = survey_document(pdf, ocr, looks=looks).pages
        assert seen == survey_document(pdf, ocr).pages
    assert [number.digits.reveal() for page in seen for number in page.seen] == ["666123456"]


@given(st.text(st.sampled_from("0123456789٣६ a-–²\n\t\u200b\ufffd"), max_size=40))
def test_only_digits_are_left_of_a_text(text):
    digits = only_digits(text)
    assert digits.isascii()
    assert digits.isdigit() or not digits
    assert only_digits(digits) == digits
    for plain in text:
        if plain in "0123456789":
            assert plain in digits
