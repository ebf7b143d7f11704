"""What a page shows counts, and not what a font calls its glyphs."""

import pymupdf
import pytest
from drawn_run import recognised, run, texts
from misnaming_fonts import (
    composite,
    shuffled_program,
    standard_encoding_with_false_map,
    true_type,
    type_three,
    with_false_map,
    without_map,
)

LYING = {
    "an embedded face, letters for digits": with_false_map(),
    "an embedded face, digits for digits": with_false_map(3),
    "an embedded face, private characters": without_map(),
    "a standard face, letters for digits": standard_encoding_with_false_map(),
    "a face that draws its letters": type_three(),
    "two-byte codes": composite(),
}


@pytest.mark.parametrize("pdf", LYING.values(), ids=LYING)
def test_a_number_under_false_names_goes(pdf: bytes) -> None:
    assert "666-12-3481" in recognised(pdf)
    assert "666-12-3481" not in texts(pdf)
    done = run(pdf)
    assert "XXX-XX-3481" in done.shown
    assert not done.removal.undone
    after = recognised(done.removal.pdf)
    assert "666-12" not in after
    assert "3481" in after


@pytest.mark.parametrize("pdf", LYING.values(), ids=LYING)
def test_every_glyph_beside_it_stays_where_it_was(pdf: bytes) -> None:
    before, after = _glyphs(pdf), _glyphs(run(pdf).removal.pdf)
    assert len(before) - sum(1 for glyph in before if _stands(glyph, after)) == 5


def _glyphs(pdf: bytes) -> list[tuple[int, float, float]]:
    with pymupdf.open(stream=pdf) as document:
        spans = document[0].get_texttrace()
    return [(char[0], *char[2]) for span in spans for char in span["chars"]]


def _stands(glyph: tuple[int, float, float], others: list[tuple[int, float, float]]) -> bool:
    return any(
        glyph[0] == other[0] and abs(glyph[1] - other[1]) < 0.15 and glyph[2] == other[2]
        for other in others
    )


def test_a_font_that_tells_the_truth_is_left_to_the_reading_of_text() -> None:
    pdf = true_type()
    done = run(pdf)
    assert done.surveys == ()
    assert done.removal.pdf == pdf


def test_a_program_that_draws_other_letters_than_it_names_is_not_believed() -> None:
    pdf = shuffled_program()
    assert "666123481" in recognised(pdf)
    assert texts(pdf).strip() == "VVVQRSTXQ"
    done = run(pdf)
    assert done.shown == ["XXXXX3481"]
    assert not done.removal.undone
    assert "66612" not in recognised(done.removal.pdf)
