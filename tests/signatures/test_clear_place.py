"""Images go where no print lies under their ink, or nowhere."""

from pathlib import Path

import numpy as np
import pymupdf
import pytest
from drawn_forms import Sheet, drawn
from hypothesis import given
from hypothesis import strategies as st
from pikepdf import Name
from PIL import Image
from signing_samples import add_field, form, grant_book, pictures, scribble, sign

from packets.base.geometry import Box
from packets.signatures.artwork import load_artwork
from packets.signatures.clear_place import clear_place
from packets.signatures.page_look import Look, look_at
from packets.signatures.records import Artwork
from packets.signatures.upright import upright_of

ROOM = Box(100, 100, 300, 130)


@pytest.fixture(scope="module")
def artwork(tmp_path_factory: pytest.TempPathFactory) -> Artwork:
    path = tmp_path_factory.mktemp("art") / "a.png"
    scribble().save(path)
    return load_artwork(path)


def look(*boxes: Box) -> Look:
    dark = np.zeros((792 * 3, 612 * 3), dtype=bool)
    for box in boxes:
        dark[round(box.y0 * 3) : round(box.y1 * 3), round(box.x0 * 3) : round(box.x1 * 3)] = True
    return Look(dark, 3.0)


def test_on_a_blank_page_it_rests_on_the_line_at_the_left(artwork: Artwork) -> None:
    box = clear_place(artwork, look(), ROOM)
    assert isinstance(box, Box)
    assert (box.x0, box.y1) == (102, 130)
    assert box.height == pytest.approx(30)
    assert box.width / box.height == pytest.approx(artwork.width / artwork.height)


def test_print_at_the_left_moves_it_to_the_right(artwork: Artwork) -> None:
    box = clear_place(artwork, look(Box(100, 105, 130, 128)), ROOM)
    assert isinstance(box, Box)
    assert box.x0 > 130
    assert box.y1 == 130


def test_print_above_makes_it_smaller(artwork: Artwork) -> None:
    box = clear_place(artwork, look(Box(100, 100, 300, 110)), ROOM)
    assert isinstance(box, Box)
    assert box.height <= 20
    assert box.y1 == 130


def test_print_everywhere_refuses(artwork: Artwork) -> None:
    rows = [Box(100, y, 300, y + 1) for y in range(100, 130, 4)]
    assert clear_place(artwork, look(*rows), ROOM) == "print stands where the image would go"


def test_a_room_too_small_refuses(artwork: Artwork) -> None:
    assert "too small" in str(clear_place(artwork, look(), Box(100, 100, 101, 102)))


@given(
    st.lists(
        st.tuples(st.floats(95, 295), st.floats(95, 130), st.floats(1, 30), st.floats(1, 12)),
        max_size=6,
    )
)
def test_whatever_is_printed_no_ink_lies_over_it(artwork: Artwork, prints: list) -> None:
    seen = look(*(Box(x, y, x + w, y + h) for x, y, w, h in prints))
    box = clear_place(artwork, seen, ROOM)
    if isinstance(box, str):
        return
    assert ROOM.x0 <= box.x0
    assert box.x1 <= ROOM.x1 + 1e-6
    assert ROOM.y0 - 1e-6 <= box.y0
    assert box.y1 <= ROOM.y1
    alpha = Image.frombytes("RGBA", (artwork.width, artwork.height), artwork.rgba).getchannel("A")
    size = (max(1, round(box.width * 3)), max(1, round(box.height * 3)))
    ink = np.asarray(alpha.resize(size, Image.Resampling.BOX)) > 60
    top, left = round(box.y1 * 3) - size[1], round(box.x0 * 3)
    under = seen.dark[top : top + size[1], left : left + size[0]]
    assert not (ink & under).any()


def test_a_field_over_print_is_not_signed_over_it(tmp_path: Path) -> None:
    document = form()
    lines = b"0 g " + b" ".join(b"95 %d 210 1.5 re f" % y for y in range(100, 131, 4))
    document.pages[0].obj.Contents = document.make_stream(lines)
    add_field(document, "taxpayer_signature")
    result = sign(document, grant_book(tmp_path))
    assert result.placements == ()
    assert [line.why for line in result.missing] == ["print stands where the image would go"]


def test_a_field_on_a_printed_box_is_signed_inside_it(tmp_path: Path) -> None:
    document = form()
    document.pages[0].obj.Contents = document.make_stream(b"0.5 w 100 100 200 30 re S")
    add_field(document, "taxpayer_signature")
    result = sign(document, grant_book(tmp_path))
    assert len(result.placements) == 1
    assert result.placements[0].box.y1 < 792 - 100


def test_a_date_is_not_written_over_print(tmp_path: Path) -> None:
    document = form()
    document.pages[0].obj.Contents = document.make_stream(b"0 g 300 100 100 30 re f")
    add_field(document, "taxpayer_signature")
    add_field(document, "taxpayer_sign_date", rect=(310, 100, 390, 130), FT=Name.Tx)
    result = sign(document, grant_book(tmp_path))
    assert len(result.placements) == 1
    (line,) = result.missing
    assert (line.is_date, line.why) == (True, "print stands where the date would go")


def test_one_image_object_however_often_it_is_placed(tmp_path: Path) -> None:
    document = form(pages=3)
    for page in (1, 2, 3):
        for row in range(4):
            place = (100, 100 + 60 * row, 300, 130 + 60 * row)
            add_field(document, f"taxpayer_signature_{page}_{row}", place, page)
    categories = dict.fromkeys((1, 2, 3), "form-8879")
    result = sign(document, grant_book(tmp_path), categories=categories)
    assert len(result.placements) == 12
    assert len(pictures(result.pdf)) == 1


def test_rules_and_borders_are_seen_from_hair_lines_up() -> None:
    def page(s: Sheet) -> None:
        s.canvas.setLineWidth(0.25)
        s.canvas.line(100, 792 - 200, 300, 792 - 200)
        s.canvas.line(310, 792 - 150, 310, 792 - 250)

    with pymupdf.open(stream=drawn(page), filetype="pdf") as document:
        seen = look_at(document[0], upright_of(document[0], 0))
    (rule,) = seen.rules(Box(90, 190, 305, 210), least=150)
    assert rule.y0 == pytest.approx(200, abs=0.7)
    assert (rule.x0, rule.x1) == (pytest.approx(100, abs=0.7), pytest.approx(300, abs=0.7))
    assert seen.border_right_of(200, 320, 190, 210) == pytest.approx(310, abs=0.7)
    assert seen.free_above(120, 280, 199, 30) == pytest.approx(30, abs=0.4)
