"""Pages that OCR read: look-alike characters and small slips do not hide a form."""

import pytest
from drawn_pages import form_front, letter, pdf_of
from reading_drawn import guess_in, scanned

from packets.base.geometry import Box
from packets.intake.classify import classify_page
from packets.reading.records import PageText, TextLine


def _read(*lines: tuple[str, float, float], sure: bool = True) -> PageText:
    """A page as OCR hands it on: text, distance from the top, size."""
    filler = [(f"{number} Enter the amount", 200.0 + 14 * number, 9.0) for number in range(20)]
    return PageText(
        tuple(
            TextLine(text, Box(36, top, 500, top + size), size)
            for text, top, size in (*lines, *filler)
        ),
        612,
        792,
        "ocr",
        sure,
    )


@pytest.mark.parametrize(
    ("heading", "title", "category"),
    [
        ("Forrn 1O40", "U.S. lndividual lncome Tax Retum 2025", "form-1040"),
        ("Form W—2", "Wage and Tax Staternent 2025", "w-2"),
        ("Form W2", "Wage and Tax Statement 2025", "w-2"),
        ("F0rm 8962", "Premiurn Tax Credit (PTC)", "form-8962"),
        ("Forrn 1O99-lNT", "lnterest lncome", "1099-int"),
        ("SCHEDULE SE", "Self-Ernployment Tax", "schedule-se"),
        ("Form 8879", "lRS e-fiie Signature Autnorization", "form-8879"),
    ],
)
def test_look_alike_characters_do_not_hide_a_form(heading: str, title: str, category: str) -> None:
    guess = classify_page(_read((heading, 40, 14), (title, 60, 13)))
    assert (guess.category, guess.sure) == (category, True), guess.words


def test_a_slip_in_a_long_title_is_forgiven_without_the_number() -> None:
    guess = classify_page(
        _read(("Request for Taxpayer ldentificatlon Numder and Certification", 40, 14))
    )
    assert guess.category == "w-9"


def test_a_page_that_ocr_doubts_is_never_sure() -> None:
    guess = classify_page(_read(("Form 1040", 40, 14), sure=False))
    assert (guess.category, guess.sure) == ("form-1040", False)


def test_look_alikes_are_not_forgiven_in_printed_text() -> None:
    page = _read(("Form 1O40", 40, 14))
    printed = PageText(page.lines, page.width, page.height, "text")
    assert classify_page(printed).category is None


@pytest.mark.parametrize(
    ("pdf", "category"),
    [
        (pdf_of(form_front("8949", "Sales and Other Dispositions of Capital Assets")), "form-8949"),
        (pdf_of(letter("Enclosed is your Form 1040. Please sign Form 8879.")), "letter"),
    ],
    ids=["form", "letter"],
)
def test_a_scanned_page_is_known_like_the_printed_one(pdf: bytes, category: str) -> None:
    assert guess_in(scanned(pdf), 0).category == category
