"""Digits drawn as outlines, strokes, dots, clips and patterns are read, and leave the file."""

import pymupdf
import pytest
from drawn_run import changed, recognised, run, texts
from drawn_samples import (
    NUMBER,
    dots,
    form,
    outline,
    page_of,
    pattern,
    segments,
    separate,
    shading,
    soft_mask,
    words,
)

from packets.masking.drawn_findings import drawn_learned
from packets.reading.unexplained_ink import drawn_shapes, outline_boxes

FILLED = outline() + "f\n"
PLACE = (68, 274, 160, 300)
"""Around the number as most of the pages below draw it: points from the upper left."""

PAGES = {
    "each digit a path": page_of(separate()),
    "one path": page_of("1 0 0 rg " + FILLED),
    "small type": page_of(outline(size=7) + "f\n"),
    "a serif face": page_of(outline(face="tiro") + "f*\n"),
    "filled and stroked": page_of("0.2 w " + outline() + "B\n"),
    "outlines only": page_of("0.3 w " + outline() + "S\n"),
    "a clip over a shading": page_of("q " + outline() + "W n /S1 sh Q\n", shading),
    "a clip over a box": page_of("q " + outline() + "W n 0 0 600 700 re f Q\n"),
    "a form": page_of("/Fm1 Do\n", form(FILLED)),
    "a soft mask": page_of("/G1 gs 0 0 600 700 re f\n", soft_mask("1 g " + FILLED)),
    "a tiling pattern": page_of(
        "/Pattern cs /P1 scn 60 300 400 400 re f\n", pattern(outline(x=12, y=200) + "f\n")
    ),
    "behind text of the same": page_of(FILLED + "3 Tr " + words("XXX", 72, 500)),
}
READ_BY_SHAPE = {
    "segments": page_of(segments()),
    "segments in one path": page_of(segments(one_path=True)),
    "dots": page_of(dots()),
    "small dots": page_of(dots(side=0.9)),
}
TURNED = {
    "upwards": page_of("q 0 1 -1 0 700 100 cm " + FILLED + "Q\n"),
    "downwards": page_of("q 0 -1 1 0 -200 600 cm " + FILLED + "Q\n"),
    "upside down": page_of("q -1 0 0 -1 500 900 cm " + FILLED + "Q\n"),
    "on a turned page": page_of("q 0 1 -1 0 700 100 cm " + FILLED + "Q\n", rotate=90),
    "across a turned page": page_of(FILLED, rotate=90),
}
UNSEEN = {
    "white on white": page_of("1 g " + FILLED),
    "under a box": page_of(FILLED + "0.5 g 60 490 120 30 re f\n"),
    "clipped away": page_of("q 0 0 1 1 re W n " + FILLED + "Q\n"),
}


@pytest.mark.parametrize("pdf", PAGES.values(), ids=PAGES)
def test_a_drawn_number_is_read_before_and_gone_after(pdf: bytes) -> None:
    seen = recognised(pdf)
    assert "666" in seen
    assert "348" in seen
    done = run(pdf)
    assert done.shown == ["XXX-XX-3481"]
    assert not done.removal.undone
    assert not done.unread
    after = recognised(done.removal.pdf).replace("-", "")
    assert "66612" not in after
    assert "348" in after  # hollow digits are hard to recognise
    assert run(done.removal.pdf).shown == []


@pytest.mark.parametrize("pdf", [*PAGES.values(), *READ_BY_SHAPE.values()])
def test_nothing_changes_beside_the_number(pdf: bytes) -> None:
    x0, y0, x1, y1 = changed(pdf, run(pdf).removal.pdf) or (0, 0, 0, 0)
    assert x0 >= PLACE[0]
    assert y0 >= PLACE[1]
    assert x1 <= PLACE[2]
    assert y1 <= PLACE[3]


@pytest.mark.parametrize("pdf", READ_BY_SHAPE.values(), ids=READ_BY_SHAPE)
def test_figures_that_recognition_does_not_know_are_read_by_their_shape(pdf: bytes) -> None:
    done = run(pdf)
    assert done.shown == ["XXXXX3481"]
    assert not done.removal.undone
    assert run(done.removal.pdf).shown == []
    assert texts(done.removal.pdf).split() != []


@pytest.mark.parametrize("pdf", TURNED.values(), ids=TURNED)
def test_a_number_is_read_in_every_direction(pdf: bytes) -> None:
    done = run(pdf)
    assert done.shown == ["XXX-XX-3481"]
    assert not done.removal.undone
    assert "66612" not in recognised(done.removal.pdf).replace("-", "")


@pytest.mark.parametrize("pdf", UNSEEN.values(), ids=UNSEEN)
def test_a_number_that_is_not_to_be_seen_goes_too(pdf: bytes) -> None:
    assert "666" not in recognised(pdf)
    done = run(pdf)
    assert done.shown == ["XXX-XX-3481"]
    assert run(done.removal.pdf).shown == []


def test_each_of_two_uses_of_one_form_is_masked() -> None:
    twice = "/Fm1 Do q 1 0 0 1 60 -200 cm /Fm1 Do Q\n"
    done = run(page_of(twice, form(FILLED)))
    assert done.shown == ["XXX-XX-3481"] * 2
    assert not done.removal.undone
    assert "66612" not in recognised(done.removal.pdf).replace("-", "")


def test_a_drawn_number_with_its_label_in_text_goes() -> None:
    page = words("Social security number", 72, 520) + outline("666123481", y=500) + "f\n"
    done = run(page_of(page))
    assert done.shown == ["XXXXX3481"]
    assert "Social security number" in texts(done.removal.pdf)


def test_an_amount_that_is_drawn_stays() -> None:
    page = words("Amount due", 72, 520) + outline("1,234.00 and 2,500.00", y=500) + "f\n"
    pdf = page_of(page)
    assert run(pdf).removal.pdf == pdf


def test_a_number_half_in_text_and_half_drawn_goes_in_both() -> None:
    at = 72 + pymupdf.Font("helv").text_length("666-", 14)
    page = words("666-", 72, 500, 14) + outline("12-3481", at) + "f\n"
    done = run(page_of(page))
    assert done.shown == ["XXX-XX-3481"]
    assert "666" not in texts(done.removal.pdf)
    assert "666" not in recognised(done.removal.pdf)


def test_what_was_taken_out_is_in_no_stream() -> None:
    done = run(PAGES["one path"])
    with pymupdf.open(stream=done.removal.pdf) as document:
        left = [box for shape in drawn_shapes(document[0]) for box in outline_boxes(shape)]
    digits = [box for box in left if box[2] < 119 and box[3] - box[1] > 5]
    assert not digits


def test_the_mask_has_the_colour_of_the_digits() -> None:
    done = run(PAGES["one path"])
    with pymupdf.open(stream=done.removal.pdf) as document:
        spans = document[0].get_texttrace()
    assert {tuple(span["color"]) for span in spans} == {(1.0, 0.0, 0.0)}


def test_the_same_input_gives_the_same_bytes() -> None:
    first, second = (run(PAGES["a form"]).removal.pdf for _ in range(2))
    assert first == second


def test_an_open_state_at_the_end_of_a_page_does_not_move_the_mask() -> None:
    done = run(page_of("q 2 0 0 2 0 0 cm q " + outline(x=36, y=250, size=7) + "f\n"))
    assert done.shown == ["XXX-XX-3481"]
    with pymupdf.open(stream=done.removal.pdf) as document:
        box = document[0].get_text("words")[0]
    assert 70 < box[0] < 76


def test_a_shape_is_named_by_no_repr() -> None:
    done = run(PAGES["one path"])
    shown = repr(done.surveys) + repr(done.removal)
    assert "666" not in shown.replace("-", "")
    assert NUMBER not in shown


def test_a_digit_that_recognition_passes_over_saves_no_number() -> None:
    spoiled = outline("666-12", 72) + outline("481", 130) + "f\n"
    blot = "0 g 122 500 m 128 502 l 121 506 l 129 510 l 123 510 l h f\n"
    done = run(page_of(words("SSN", 40, 500) + spoiled + blot))
    assert done.shown or done.unread


def test_a_comma_is_no_digit_that_was_passed_over() -> None:
    pdf = page_of(words("Sum", 40, 500) + outline("12,345,678.90 and 8,146.33") + "f\n")
    done = run(pdf)
    assert done.removal.pdf == pdf
    read = [word.text for survey in done.surveys for it in survey.readings for word in it.words]
    assert "12,345,678.90" in read


def test_a_drawn_number_is_learned_for_the_other_pages() -> None:
    assert [it.digits.reveal() for it in drawn_learned(run(PAGES["one path"]).surveys)] == [
        "666123481"
    ]
    assert drawn_learned(run(page_of(outline("12,480.00") + "f\n")).surveys) == ()
