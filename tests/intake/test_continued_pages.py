"""Pages without a title: which go with the page before them, and which stay unknown."""

import pymupdf
import pytest
from drawn_pages import Draw, Words, body, form_front, form_later, letter, page_of, pdf_of, prose
from drawn_papers import STATES
from reading_drawn import scanned

from packets.intake.page_reading import read_documents
from packets.intake.records import EvidenceKind, InventoryPage, SourceDocument
from packets.intake.source_pages import pages_of_document
from packets.reading.ocr import OcrReader

FRONT = form_front("Schedule C", "Profit or Loss From Business", sequence="09")
LETTER = letter("Enclosed is your return.")
STATEMENT = page_of(
    Words("PAT & ROBIN SAMPLE", 40, 40),
    Words("Statement 1", 300, 40, 11),
    Words("Schedule C, Line 27b Other Expenses", 40, 60),
    *body(),
)
PLAIN = page_of(*prose("These words go on without saying what they belong to. " * 10, first=60))
HEADED = page_of(Words("Something Else Entirely", 60, 50, 20), *body())


def _pages(pdf: bytes) -> list[InventoryPage]:
    with pymupdf.open(stream=pdf) as opened:
        count = opened.page_count
    document = SourceDocument("documents/a.pdf", "0" * 64, pdf, count, "application/pdf")
    with OcrReader() as ocr:
        return list(pages_of_document(0, document, "", {}, *read_documents([document], ocr)))


def _second(first: Draw, second: Draw) -> InventoryPage:
    return _pages(pdf_of(first, second))[1]


def test_a_statement_goes_with_the_form_before_it() -> None:
    page = _second(FRONT, STATEMENT)
    assert (page.category, page.evidence.kind) == ("schedule-c", EvidenceKind.CONTINUED)
    assert page.evidence.sure
    assert page.sequence == "09"


def test_statements_follow_one_another() -> None:
    pages = _pages(pdf_of(FRONT, STATEMENT, STATEMENT))
    assert [page.category for page in pages] == ["schedule-c"] * 3


def test_a_statement_goes_to_the_form_it_names_not_to_its_neighbour() -> None:
    other = form_front("Schedule E", "Supplemental Income and Loss", sequence="13")
    pages = _pages(pdf_of(FRONT, other, STATEMENT))
    assert [page.category for page in pages] == ["schedule-c", "schedule-e", "schedule-c"]
    assert pages[2].sequence == "09"


def test_a_statement_to_a_form_that_is_not_there_is_unknown() -> None:
    other = form_front("Schedule E", "Supplemental Income and Loss", sequence="13")
    assert _second(other, STATEMENT).category is None


def test_a_statement_that_names_no_form_goes_with_its_neighbour() -> None:
    bare = page_of(Words("Supporting Statement", 300, 40, 11), *body())
    assert _second(FRONT, bare).category == "schedule-c"


def test_what_goes_on_from_an_unsure_page_is_unsure() -> None:
    doubtful = letter("Some words.", close=False)
    more = page_of(Words("Letter, continued", 60, 40, 10), *prose("More words. " * 20, first=80))
    page = _second(doubtful, more)
    assert (page.category, page.evidence.sure) == ("letter", False)


def test_a_page_that_is_continued_elsewhere_continues_nothing() -> None:
    page = page_of(Words("Continued on page 2", 400, 40), *body())
    assert _second(FRONT, page).category is None


def test_a_statement_alone_is_unknown() -> None:
    assert _pages(pdf_of(STATEMENT))[0].category is None


def test_running_text_after_a_letter_goes_with_it_but_is_unsure() -> None:
    page = _second(LETTER, PLAIN)
    assert (page.category, page.evidence.kind) == ("letter", EvidenceKind.CONTINUED)
    assert not page.evidence.sure


def test_a_second_page_that_counts_itself_goes_with_a_letter() -> None:
    numbered = page_of(Words("Page 2 of 2", 500, 40), *prose("And so on. " * 20, first=80))
    page = _second(LETTER, numbered)
    assert (page.category, page.form_page) == ("letter", 2)
    assert page.evidence.sure


def test_running_text_after_a_form_stays_unknown() -> None:
    page = _second(FRONT, PLAIN)
    assert (page.category, page.evidence.kind) == (None, EvidenceKind.NONE)


@pytest.mark.parametrize("first", [FRONT, LETTER], ids=["form", "letter"])
def test_a_page_with_a_heading_of_its_own_stays_unknown(first: Draw) -> None:
    assert _second(first, HEADED).category is None


def test_a_form_that_is_not_known_does_not_join_its_neighbour() -> None:
    page = _second(FRONT, form_later("Form 5330 (2025)", 2))
    assert page.category is None
    assert "Form 5330" in page.evidence.words


def test_a_later_page_of_a_state_form_is_known_by_the_forms_number() -> None:
    first = STATES["VA"][1]
    page = _second(first, form_later("Form 760 (2025)", 2))
    assert (page.category, page.jurisdiction, page.form_page) == ("state-return", "VA", 2)
    assert _second(first, form_later("Form 502 (2025)", 2)).category is None


def test_a_blank_page_joins_nothing_and_is_known_as_blank() -> None:
    for blank in (page_of(), page_of(Words("-2-", 300, 760)), _left_blank()):
        page = _second(LETTER, blank)
        assert page.category == "blank"
    assert _pages(pdf_of(LETTER, page_of(), PLAIN))[2].category is None


def _left_blank() -> Draw:
    return page_of(Words("This page intentionally left blank", 200, 400))


def test_a_page_with_a_mark_but_no_words_is_not_blank() -> None:
    def dot(canvas: object) -> None:
        canvas.rect(300, 300, 6, 6, fill=1)  # type: ignore[attr-defined]  # a canvas

    page = _second(LETTER, dot)
    assert page.category is None


def test_scans_behind_one_another_do_not_join() -> None:
    with pymupdf.open() as joined:
        for pdf in (pdf_of(LETTER), pdf_of(PLAIN), pdf_of(STATEMENT)):
            with pymupdf.open(stream=scanned(pdf, dpi=150)) as scan:
                joined.insert_pdf(scan)
        pages = _pages(bytes(joined.tobytes()))
    assert [page.category for page in pages] == ["letter", None, None]
    assert {page.read_by for page in pages} == {"ocr"}
