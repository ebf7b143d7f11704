"""Every page of real government forms gets its right category, printed, filled and scanned.

The forms are works of the US government. They do not ship with this project:
the tests look for them beside it and are skipped, with a word, where they are not.
"""

from functools import cache
from pathlib import Path

import pymupdf
import pytest

from packets.intake.page_reading import read_documents
from packets.intake.records import InventoryPage, SourceDocument
from packets.intake.source_pages import pages_of_document
from packets.intake.take_in import take_in
from packets.reading.ocr import OcrReader

FORMS = Path(__file__).parents[3] / "shared" / "forms"
TEXT = "instructions"

EXPECTED: dict[str, list[str]] = {
    "f1040-2022.pdf": ["form-1040"] * 2,
    "f1040-2024.pdf": ["form-1040"] * 2,
    "f1040-es-2023.pdf": [
        *[TEXT] * 5,
        "worksheet",
        TEXT,
        "worksheet",
        "voucher-1040-es",
        "blank",
        "voucher-1040-es",
        "blank",
    ],
    "f1040-v-2013.pdf": ["voucher-1040-v"],
    "f1099-int-2019.pdf": [
        *["1099-int"] * 3,
        TEXT,
        "1099-int",
        TEXT,
        "1099-int",
        TEXT,
    ],
    "schedule-b-2022.pdf": ["schedule-b"],
    "schedule-c-2025.pdf": ["schedule-c"] * 2,
    "schedule-k-1-1065-2025.pdf": ["k-1-1065"],
    "ss-5-2011.pdf": [*[TEXT] * 4, "ss-5"],
    "w-2-2026.pdf": [
        TEXT,
        *["w-2"] * 3,
        TEXT,
        "w-2",
        TEXT,
        "w-2",
        TEXT,
        "w-2",
        TEXT,
    ],
    "w-4-2022.pdf": ["w-4", TEXT, "worksheet", TEXT],
    "w-9-2018.pdf": ["w-9", *[TEXT] * 5],
}
YEARS = {
    "f1040-2022.pdf": 2022,
    "f1040-2024.pdf": 2024,
    "f1040-es-2023.pdf": 2023,
    "f1040-v-2013.pdf": 2013,
    "f1099-int-2019.pdf": 2019,
    "schedule-b-2022.pdf": 2022,
    "schedule-c-2025.pdf": 2025,
    "schedule-k-1-1065-2025.pdf": 2025,
    "w-2-2026.pdf": 2026,
}
SCANNED = {
    # One form page each: reading them by OCR takes a second or two.
    ("f1040-2024.pdf", 0),
    ("f1040-2022.pdf", 1),
    ("f1040-es-2023.pdf", 10),
    ("f1099-int-2019.pdf", 2),
    ("schedule-b-2022.pdf", 0),
    ("schedule-c-2025.pdf", 1),
    ("schedule-k-1-1065-2025.pdf", 0),
    ("ss-5-2011.pdf", 4),
    ("w-2-2026.pdf", 3),
    ("w-9-2018.pdf", 0),
}

pytestmark = pytest.mark.skipif(
    not FORMS.is_dir(), reason=f"no real forms to look at in {FORMS.name}/ beside the project"
)


def _pages(pdf: bytes, count: int) -> list[InventoryPage]:
    document = SourceDocument("documents/form.pdf", "0" * 64, pdf, count, "application/pdf")
    with OcrReader() as ocr:
        return list(pages_of_document(0, document, "", {}, *read_documents([document], ocr)))


@cache
def _printed(name: str) -> tuple[InventoryPage, ...]:
    taken = take_in(FORMS / name)
    return tuple(_pages(taken.pdf, taken.pages))


def test_the_table_covers_every_form_that_is_there() -> None:
    assert {path.name for path in FORMS.glob("*.pdf")} == set(EXPECTED)


@pytest.mark.parametrize("name", EXPECTED)
def test_every_page_has_its_right_category_and_is_sure(name: str) -> None:
    pages = _printed(name)
    assert [page.category for page in pages] == EXPECTED[name]
    assert all(page.evidence.sure for page in pages)


@pytest.mark.parametrize("name", YEARS)
def test_form_pages_tell_their_year(name: str) -> None:
    years = {page.tax_year for page in _printed(name) if page.category not in (TEXT, "blank")}
    assert years == {YEARS[name]}


COPIES_A = {"f1099-int-2019.pdf": {1}, "w-2-2026.pdf": {2}}
"""Pages that go to the agency and are never cut."""


@pytest.mark.parametrize("name", EXPECTED)
def test_only_vouchers_and_copies_for_the_agency_are_to_be_filed(name: str) -> None:
    for page in _printed(name):
        for_agency = page.number in COPIES_A.get(name, ())
        assert page.to_be_filed == (str(page.category).startswith("voucher") or for_agency)


def test_two_page_forms_count_their_pages_and_attachments_tell_their_sequence() -> None:
    for name in ("f1040-2022.pdf", "f1040-2024.pdf", "schedule-c-2025.pdf"):
        assert [page.form_page for page in _printed(name)] == [1, 2]
    assert _printed("schedule-b-2022.pdf")[0].sequence == "08"
    assert {page.sequence for page in _printed("schedule-c-2025.pdf")} == {"09"}


def _filled(name: str) -> bytes:
    """The form with something in every text field: invented words, a void number."""
    with pymupdf.open(FORMS / name) as document:
        for page in document:
            for widget in page.widgets():
                if widget.field_type == pymupdf.PDF_WIDGET_TYPE_TEXT:
                    most = widget.text_maxlen or 40
                    value = "Sample, see Form W-2, 000-12-3456"
                    widget.field_value = ("000123456" if most <= 11 else value)[:most]
                    widget.update()
        return bytes(document.tobytes())


@pytest.mark.parametrize("name", EXPECTED)
def test_what_is_filled_in_changes_no_category_and_is_not_repeated(name: str) -> None:
    pages = _pages(_filled(name), len(EXPECTED[name]))
    assert [page.category for page in pages] == EXPECTED[name]
    assert not any("3456" in repr(page) for page in pages)


@pytest.mark.parametrize(("name", "index"), sorted(SCANNED))
def test_a_scanned_form_page_has_the_category_of_the_printed_one(name: str, index: int) -> None:
    with pymupdf.open(FORMS / name) as document, pymupdf.open() as scan:
        pixels = document[index].get_pixmap(dpi=150, colorspace=pymupdf.csGRAY)
        new = scan.new_page(width=612, height=792)
        new.insert_image(new.rect, pixmap=pixels)
        page = _pages(bytes(scan.tobytes()), 1)[0]
    assert (page.category, page.read_by) == (EXPECTED[name][index], "ocr")
