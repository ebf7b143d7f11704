"""The amounts of Form 8879, Part I: read when certain, else not at all."""

import io
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from reportlab.pdfgen.canvas import Canvas

from packets.base.errors import Damaged
from packets.base.geometry import Box
from packets.reading.ocr import OcrReader
from packets.reading.records import PageText, TextLine
from packets.signatures.form_figures import figures_in, figures_on_page, pages_with_form

SAMPLES = Path(__file__).parents[2] / "sample_pdfs"
LINES = {
    "1": "Adjusted gross income",
    "2": "Total tax",
    "3": "Federal income tax withheld from Form(s) W-2 and Form(s) 1099",
    "4": "Amount you want refunded to you",
    "5": "Amount you owe",
}
AMOUNTS = {"1": "60,000", "2": "5,000", "3": "6,000", "4": "1,000", "5": ""}
READ = {"agi": 60_000, "total_tax": 5_000, "withholding": 6_000, "refund": 1_000, "amount_owed": 0}


@pytest.fixture(scope="module")
def ocr() -> Iterator[OcrReader]:
    with OcrReader() as reader:
        yield reader


def page(*more: str, read_by: str = "text", again: bool = True, **amounts: str) -> PageText:
    shown = {**AMOUNTS, **{key.removeprefix("line"): value for key, value in amounts.items()}}
    rows = [
        f"{number} {LINES[number]} . . . {number if again else ''} {amount}"
        for number, amount in shown.items()
        if amount != "gone"
    ]
    lines = ["Form 8879", "Part I Tax Return Information", *rows, "Part II Declaration", *more]
    return PageText(tuple(TextLine(line, Box(0, 0, 1, 1), 9) for line in lines), 612, 792, read_by)


@pytest.mark.parametrize(
    ("file", "number", "expected"),
    [
        ("single-filer/documents/form-8879.pdf", 1, (40_671, 2_753, 3_312, 559, 0)),
        ("joint-return/documents/2025-tax-return.pdf", 1, (113_623, 7_485, 6_052, 0, 233)),
    ],
)
def test_the_samples_forms_are_read(
    file: str, number: int, expected: tuple[int, ...], ocr: OcrReader
) -> None:
    pdf = (SAMPLES / file).read_bytes()
    assert pages_with_form(pdf)[0] == number
    figures = figures_on_page(pdf, ocr, number)
    assert figures is not None
    assert tuple(figures.values()) == expected


def test_amounts_in_form_fields_count_as_print(ocr: OcrReader) -> None:
    file = io.BytesIO()
    canvas = Canvas(file, invariant=1)
    canvas.drawString(40, 780, "Form 8879  IRS e-file Signature Authorization")
    canvas.drawString(40, 760, "Part I  Tax Return Information")
    for row, (number, label) in enumerate(LINES.items()):
        canvas.drawString(40, 740 - 20 * row, f"{number}  {label} . . . {number}")
        canvas.acroForm.textfield(
            name=f"f{number}",
            value=AMOUNTS[number],
            x=460,
            y=736 - 20 * row,
            width=80,
            height=14,
            fontSize=9,
            borderWidth=0,
        )
    canvas.drawString(40, 620, "Part II  Taxpayer Declaration")
    canvas.save()
    assert figures_on_page(file.getvalue(), ocr, 1) == READ


def test_every_line_is_read_with_or_without_its_number_again() -> None:
    assert figures_in(page()) == READ
    assert figures_in(page(again=False)) == READ


@pytest.mark.parametrize("shown", ["5,000", "5000", "5,000.", "5,000.00", "$5,000", "$ 5,000"])
def test_the_usual_ways_of_writing_dollars_are_read(shown: str) -> None:
    assert figures_in(page(line2=shown)) == READ


def test_a_dash_zero_dash_is_nothing() -> None:
    figures = figures_in(page(line3="-0-"))
    assert figures is not None
    assert figures["withholding"] == 0


@given(st.integers(-(10**9), 10**9), st.integers(0, 10**9), st.booleans())
def test_an_amount_is_read_as_it_is_written(income: int, tax: int, commas: bool) -> None:
    shown = f"{abs(income):,}" if commas else str(abs(income))
    figures = figures_in(page(line1=f"({shown})" if income < 0 else shown, line2=f"{tax:,}"))
    assert figures is not None
    assert (figures["agi"], figures["total_tax"]) == (income, tax)


@pytest.mark.parametrize(
    "text",
    [
        page(read_by="ocr"),
        page(line1=""),
        page(line1="gone"),
        page(line3="gone"),
        page(line4="", line5=""),
        page(line2="5,000 6,000"),
        page(line2="5,0OO"),
        page(line2="(5,000"),
        page(line2="5,000)"),
        page(line2="50,00"),
        page(line2="5,000.50"),
        page(line2="5.000,00"),
        PageText((TextLine("Form 1040", Box(0, 0, 1, 1), 9),), 612, 792, "text"),
    ],
    ids=[
        "ocr",
        "no income",
        "line 1",
        "line 3",
        "no refund",
        "two",
        "letters",
        "open",
        "closed",
        "groups",
        "cents",
        "commas",
        "other",
    ],
)
def test_what_is_not_certain_is_not_read(text: PageText) -> None:
    assert figures_in(text) is None


def test_what_another_part_says_is_no_amount() -> None:
    assert figures_in(page("2 Total tax . . . 2 9,999")) == READ


def test_a_broken_document_is_named() -> None:
    with pytest.raises(Damaged):
        pages_with_form(b"%PDF-1.7 nothing")
