"""Real layouts: blank forms of the agencies hold no number, the samples theirs and no other."""

import os
from pathlib import Path

import pymupdf
import pytest

from packets.identifiers.find import find_in_text
from packets.identifiers.kinds import ALL_KINDS, MaskPolicy
from packets.identifiers.layout import find_on_page
from packets.reading.glyphs import page_glyphs

EVERY_KIND = MaskPolicy(kinds=ALL_KINDS)
FORMS = Path(os.environ.get("PACKETS_BLANK_FORMS", Path(__file__).parents[3] / "shared" / "forms"))
SAMPLES = Path(__file__).parents[2] / "sample_pdfs"
NEVER_ASSIGNED = ("000", "666", "9")


@pytest.mark.skipif(not FORMS.is_dir(), reason="the blank forms of ../shared/forms are not here")
@pytest.mark.parametrize("form", sorted(path.name for path in FORMS.glob("*.pdf")))
def test_a_blank_form_and_its_instructions_hold_no_number(form):
    with pymupdf.open(FORMS / form) as document:
        for page in document:
            assert find_in_text(page.get_text(), (), EVERY_KIND) == ()
            for sheet in page_glyphs(page).sheets:
                assert find_on_page(sheet, (), EVERY_KIND) == ()


def numbers_of(path: Path) -> set[tuple[str, str]]:
    found = set()
    with pymupdf.open(path) as document:
        for page in document:
            read = page_glyphs(page)
            for sheet in read.sheets:
                for match in find_on_page(sheet, (), EVERY_KIND):
                    digits = "".join(read.drawn[digit[0]] for digit in match.digits)
                    found.add((str(match.kind), digits))
    return found


def test_the_printed_return_of_the_sample_shows_its_numbers_and_no_other():
    found = numbers_of(SAMPLES / "joint-return" / "documents" / "2025-tax-return.pdf")
    kinds = {kind for kind, _ in found}
    assert kinds == {"ssn", "ein", "account", "ip-pin"}
    personal = {digits for kind, digits in found if kind == "ssn"}
    assert {"666123481", "000452718"} <= personal
    assert all(
        digits.startswith(NEVER_ASSIGNED) or digits[3:5] == "00" or digits[5:] == "0000"
        for digits in personal
    )


def test_a_routing_number_in_the_sample_stays_where_its_label_stands():
    found = numbers_of(SAMPLES / "single-filer" / "documents" / "2025-tax-return.pdf")
    assert ("account", "3300918264") in found
    assert "111000025" not in {digits for _, digits in found}
