"""A page that was printed to outlines holds no text at all; its numbers go all the same."""

from pathlib import Path

import pymupdf
import pytest
from drawn_run import recognised, run, texts

SAMPLES = Path(__file__).parents[2] / "sample_pdfs" / "joint-return" / "documents"
PAPERS = {
    "a wage statement": (SAMPLES / "w-2" / "aldertree-surveying.pdf", 0, ["XXX-XX-2718"]),
    "a mortgage statement": (SAMPLES / "1098.pdf", 0, ["XXX-XX-3481", "XXXXXXXXX7716"]),
    "a return, one digit to a cell": (
        SAMPLES / "2025-tax-return.pdf",
        2,
        ["XXXXX3481", "XXXXX2718", "XXXXX7305", "XXXXX0000"],
    ),
    "a worksheet": (SAMPLES / "2025-tax-return.pdf", 18, ["XXX-XX-3481", "XXX-XX-2718"]),
}


def _in_outlines(path: Path, number: int) -> bytes:
    with pymupdf.open(path) as document:
        svg = document[number].get_svg_image(text_as_path=True)
    with pymupdf.open("svg", svg.encode()) as drawing:
        return bytes(drawing.convert_to_pdf())


@pytest.mark.parametrize(("path", "number", "expected"), PAPERS.values(), ids=PAPERS)
def test_every_number_of_an_outlined_page_goes(
    path: Path, number: int, expected: list[str]
) -> None:
    pdf = _in_outlines(path, number)
    assert texts(pdf).strip() == ""
    done = run(pdf)
    assert sorted(done.shown) == sorted(expected)
    assert not done.removal.undone
    assert not done.unread
    assert run(done.removal.pdf).shown == []
    seen = recognised(done.removal.pdf).replace("-", "")
    assert "66612348" not in seen
    assert "00045271" not in seen
