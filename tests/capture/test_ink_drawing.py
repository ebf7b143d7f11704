"""Picture and outlines of the same ink, in a form that every later station takes."""

import io
import math
import re

import pymupdf
import pytest
from PIL import Image, ImageChops

from packets.base.errors import InputRefused
from packets.capture.ink_drawing import INK, MOST_LENGTH, draw_signature
from packets.signatures.artwork import load_artwork
from packets.signatures.svg_ink import svg_artwork


def loops(pressed=True):
    """A line that crosses itself, turns sharply, and is pressed more and less."""
    return tuple(
        (
            80 + 640 * i / 260 + 30 * math.sin(i * 0.23),
            150 + 90 * math.sin(i * 0.13),
            8.0 * i,
            0.3 + 0.5 * abs(math.sin(i * 0.08)) if pressed else 0.0,
        )
        for i in range(260)
    )


SPIKE = tuple(
    (x, y, 3000.0 + t, 0.0) for t, (x, y) in enumerate([(700, 60), (760, 240), (702, 66)])
)
DOT = ((500.0, 40.0, 4000.0, 0.0),)
HAND = (loops(), SPIKE, DOT)


def on_white(png):
    with Image.open(io.BytesIO(png)) as picture:
        white = Image.new("RGBA", picture.size, "white")
        white.alpha_composite(picture)
    return white.convert("L")


def test_the_same_strokes_give_the_same_bytes():
    assert draw_signature(HAND) == draw_signature(HAND)


def test_the_picture_is_ink_on_nothing_and_holds_nothing_else():
    with Image.open(io.BytesIO(draw_signature(HAND).png)) as picture:
        assert (picture.format, picture.mode, picture.info) == ("PNG", "RGBA", {})
        colours = {colour[:3] for _, colour in picture.getcolors(100_000) if colour[3]}
        assert colours == {INK}
        assert picture.getpixel((0, 0)) == (0, 0, 0, 0)


def test_the_drawing_is_filled_paths_and_nothing_else():
    svg = draw_signature(HAND).svg.decode("ascii")
    assert re.findall(r"<(\w+)", svg) == ["svg", "path", "path", "path"]
    assert set(re.findall(r"(\w+)=", svg)) == {"xmlns", "viewBox", "width", "height", "fill", "d"}
    for data in re.findall(r' d="([^"]*)"', svg):
        assert re.fullmatch(r"[MLCZ0-9. -]+", data)


@pytest.mark.parametrize("pressed", [True, False])
def test_another_reader_draws_the_outlines_as_the_picture_shows_them(pressed):
    drawn = draw_signature((loops(pressed), SPIKE, DOT))
    ours = on_white(drawn.png)
    with pymupdf.open(stream=drawn.svg, filetype="svg") as document:
        page = document[0]
        zoom = pymupdf.Matrix(ours.width / page.rect.width, ours.height / page.rect.height)
        pixels = page.get_pixmap(matrix=zoom, colorspace=pymupdf.csGRAY)
    theirs = Image.frombytes("L", (pixels.width, pixels.height), pixels.samples)
    far_off = ImageChops.difference(ours, theirs.resize(ours.size)).point(lambda v: 255 * (v > 150))
    inked = sum(ours.histogram()[:128])
    assert far_off.histogram()[255] < inked * 0.01


def test_what_is_kept_can_be_placed(tmp_path):
    drawn = draw_signature(HAND)
    (tmp_path / "kept.png").write_bytes(drawn.png)
    artwork = load_artwork(tmp_path / "kept.png")
    vector = svg_artwork(drawn.svg, "kept.svg")
    assert artwork.width / artwork.height == pytest.approx(vector.width / vector.height, rel=0.03)


@pytest.mark.parametrize("stroke", [DOT, ((10.0, 10.0, 0.0, 0.0), (20.0, 12.0, 9.0, 0.0))])
def test_a_slip_of_the_pen_is_no_signature(stroke):
    with pytest.raises(InputRefused, match="too little ink"):
        draw_signature((stroke,))


def test_a_cross_is_a_mark_and_enough():
    one = ((100.0, 100.0, 0.0, 0.0), (160.0, 160.0, 90.0, 0.0))
    other = ((160.0, 100.0, 200.0, 0.0), (100.0, 160.0, 290.0, 0.0))
    assert draw_signature((one, other)).png


def test_a_pad_scribbled_full_is_refused_before_it_is_drawn():
    across = 3 * math.ceil(MOST_LENGTH / 800)
    scribble = tuple((50.0 + 800 * (i % 2), 2.0 * i, 5.0 * i, 0.0) for i in range(across))
    with pytest.raises(InputRefused, match="too much ink"):
        draw_signature((scribble,))


def test_a_straight_rule_is_no_signature():
    with pytest.raises(InputRefused):
        draw_signature((((10.0, 100.0, 0.0, 0.0), (890.0, 100.0, 90.0, 0.0)),))
