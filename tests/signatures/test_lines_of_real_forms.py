"""Signature lines of forms as the IRS issued them, where they lie in ../shared/forms."""

import io
from pathlib import Path

import pikepdf
import pymupdf
import pytest
from drawn_forms import dark, scanned
from signing_samples import FIGURES, TODAY, grant_book, grant_text

from packets.masking.flatten import flatten
from packets.reading.ocr import OcrReader
from packets.recipe.model import Role
from packets.signatures.grants import GrantBook
from packets.signatures.known_lines import known_lines
from packets.signatures.placing import sign_document
from packets.signatures.records import SignedDocument

FORMS = Path(__file__).parents[3] / "shared" / "forms"
COUPLE = {Role.TAXPAYER: "Ana B Sample", Role.SPOUSE: "Ben Sample"}
ALONE = {Role.TAXPAYER: "Ana B Sample"}
RETURN = {1: "form-1040", 2: "form-1040"}
LINES = {
    # What was measured by hand on each form: role, page, left and foot of its line, its room's top.
    "f1040-2022": [("taxpayer", 2, 100, 492, 471), ("spouse", 2, 100, 522, 501)],
    "f1040-2024": [("taxpayer", 2, 100, 492, 471), ("spouse", 2, 100, 522, 501)],
    "w-4-2022": [("taxpayer", 1, 108, 618, 598)],
    "w-9-2018": [("taxpayer", 1, 118, 564, 540)],
}
PREPARER = ("preparer", 2, 220, 558, 543)
CATEGORIES = {"w-4-2022": {1: "w-4"}, "w-9-2018": {1: "w-9"}}


def real(name: str) -> bytes:
    path = FORMS / f"{name}.pdf"
    if not path.is_file():
        pytest.skip(f"{path} is not here: the form as it was issued cannot be tried")
    return path.read_bytes()


@pytest.fixture
def book(tmp_path: Path) -> GrantBook:
    grants = [
        grant_text(id=f'"{role}"', role=f'"{role}"', covers='["form-*", "w-*"]')
        for role in ("taxpayer", "spouse", "preparer")
    ]
    return grant_book(tmp_path / "signatures", *grants)


def signed(pdf: bytes, name: str, book: GrantBook, ocr: OcrReader | None = None) -> SignedDocument:
    return sign_document(
        pdf,
        0,
        CATEGORIES.get(name, RETURN),
        (),
        book,
        tax_year=2025,
        today=TODAY,
        lines=known_lines(),
        names=ALONE if name in CATEGORIES else COUPLE,
        figures=lambda page: FIGURES,
        ocr=ocr,
    )


def wanted(name: str) -> list[tuple[str, int, int, int, int]]:
    return LINES[name] + ([] if name in CATEGORIES else [PREPARER])


@pytest.mark.parametrize("name", LINES)
def test_every_signature_line_of_the_form_is_filled_on_its_line(name, book) -> None:
    result = signed(real(name), name, book)
    assert [line for line in result.missing if not line.is_date] == []
    placed = sorted(result.placements, key=lambda place: place.box.y0)
    assert len(placed) == len(wanted(name))
    for place, (role, page, left, foot, top) in zip(placed, wanted(name), strict=True):
        assert (place.role, place.page) == (role, page)
        assert left <= place.box.x0 < left + 20
        assert foot - 2 <= place.box.y1 <= foot  # it rests on the line
        assert place.box.y0 >= top  # and reaches no label above
        assert place.dated == ("" if role == "preparer" else "03/03/2026")


@pytest.mark.parametrize("name", LINES)
def test_no_ink_covers_print_of_the_form(name, book) -> None:
    blank = real(name)
    result = signed(blank, name, book)
    for place in result.placements:
        box = place.box
        inside = (box.x0 + 0.3, box.y0 + 0.3, box.x1 - 0.3, box.y1 - 0.3)
        assert dark(blank, inside, place.page) == 0
        assert dark(result.pdf, inside, place.page) > 40


@pytest.mark.parametrize("name", LINES)
def test_a_form_printed_flat_and_filled_in_is_signed_alike(name, book) -> None:
    with pymupdf.open(stream=real(name), filetype="pdf") as document:
        page = document[max(CATEGORIES.get(name, RETURN)) - 1]
        for widget in page.widgets():
            if widget.field_type_string == "Text" and not widget.text_maxlen:
                widget.field_value = "Qq 77"
                widget.update()
        filled = document.tobytes()
    flat = flatten(filled).pdf
    roles = [place.role for place in signed(flat, name, book).placements]
    assert sorted(roles) == sorted(line[0] for line in wanted(name))


@pytest.mark.parametrize("name", LINES)
@pytest.mark.parametrize(("turn", "scale"), [(90, 1.0), (180, 0.94), (270, 0.8), (0, 0.72)])
def test_a_form_scaled_and_turned_is_signed_alike(name, turn, scale, book) -> None:
    with pikepdf.open(io.BytesIO(real(name))) as document:
        for page in document.pages:
            page.contents_add(f"q {scale} 0 0 {scale} 30 40 cm".encode(), prepend=True)
            page.contents_add(b"Q", prepend=False)
            page.Rotate = turn
            if "/Annots" in page:
                del page.Annots
        out = io.BytesIO()
        document.save(out)
    roles = [place.role for place in signed(out.getvalue(), name, book).placements]
    assert sorted(roles) == sorted(line[0] for line in wanted(name))


@pytest.mark.parametrize("name", LINES)
def test_a_scan_of_the_form_is_signed_where_sure_and_else_told(name, book) -> None:
    with pymupdf.open(stream=real(name), filetype="pdf") as document:
        document.select([max(CATEGORIES.get(name, RETURN)) - 1])
        page = scanned(document.tobytes())
    category = next(iter(CATEGORIES.get(name, RETURN).values()))
    with OcrReader() as ocr:
        result = sign_document(
            page, 0, {1: category}, (), book, tax_year=2025, today=TODAY,
            lines=known_lines(), names=ALONE, ocr=ocr,
        )  # fmt: skip
    told = {place.role: place.box for place in result.placements}
    lost = {line.role for line in result.missing}
    assert "taxpayer" in told.keys() | lost
    for role, _, left, foot, _ in wanted(name):
        if role in told:
            assert abs(told[role].x0 - left) < 20
            assert foot - 3 <= told[role].y1 <= foot + 1
