"""A stamp never covers print, is upright as shown, and is always there."""

from io import BytesIO

import page_pixels as pixels
import pikepdf
import pypdf
import pytest
from bound_samples import bare, page_pdf, shown, texts

from packets.assembly.assemble import assemble

FULL = b"\n".join(
    b"BT /F0 10 Tf %d %d Td (Print from edge to edge, line upon line of it, to the very rim) Tj ET"
    % (x, y)
    for x in (-20, 260, 540)
    for y in range(-4, 800, 9)
)
FOOT_RIGHT = b"0 g 380 0 232 60 re f"
FOOT = b"0 g 0 0 612 60 re f"
HAIRLINE = b"0.8 G 0.25 w 0 22 m 612 22 l S"
SCAN_TONE = b"0.93 g 0 0 612 792 re f 0 g 100 300 200 40 re f"
DARK = b"0.2 g 0 0 612 792 re f"
TURNS = (0, 90, 180, 270)


@pytest.mark.parametrize("rotate", TURNS)
@pytest.mark.parametrize("box", [(0, 0, 612, 792), (-100, 50, 512, 842)])
@pytest.mark.parametrize(
    "content",
    [FULL, FOOT_RIGHT, FOOT, HAIRLINE, DARK, SCAN_TONE],
    ids=["full", "foot-right", "foot", "hairline", "dark", "tone"],
)
def test_print_looks_the_same_after_stamping(
    content: bytes, box: tuple[int, ...], rotate: int
) -> None:
    moved = b"1 0 0 1 %d %d cm " % box[:2] + content
    source = page_pdf([moved], box=box, rotate=rotate)
    packet = assemble(bare(source))
    assert pixels.inked_pixels_that_changed(shown(source), shown(packet.pdf)) == 0
    assert pixels.pixels_that_changed(shown(source), shown(packet.pdf)) > 50
    assert "Client copy" in texts(packet)[0]


@pytest.mark.parametrize("rotate", TURNS)
def test_the_stamp_stands_at_the_foot_as_shown(rotate: int) -> None:
    source = page_pdf([b"0 g 300 400 20 20 re f"], rotate=rotate)
    stamped = shown(assemble(bare(source)).pdf)
    left, top, right, bottom = pixels.changed_box(shown(source), stamped)
    assert top > stamped.height - 80
    assert right > stamped.width * 0.8
    assert right - left > 6 * (bottom - top), "upright: much wider than high"


@pytest.mark.parametrize("rotate", TURNS)
def test_a_page_without_bare_paper_grows_at_the_foot_and_nowhere_else(rotate: int) -> None:
    source = page_pdf([FULL], box=(5, 7, 617, 799), rotate=rotate)
    before, after = shown(source), shown(assemble(bare(source)).pdf)
    assert (after.width, after.height) == (before.width, before.height + 36)
    assert pixels.pixels_that_changed(before, after) > 50
    assert before.tobytes() == after.crop((0, 0, before.width, before.height)).tobytes()


@pytest.mark.parametrize("rotate", TURNS)
def test_growing_shows_nothing_that_lay_outside_the_crop_box(rotate: int) -> None:
    hidden = FULL + b" 1 0 0 rg -500 -500 2000 490 re f 632 -500 800 2000 re f"
    source = page_pdf([hidden], box=(-300, -300, 912, 1092), crop=(0, 0, 612, 792), rotate=rotate)
    before, after = shown(source), shown(assemble(bare(source)).pdf)
    strip = after.crop((0, before.height, after.width, after.height))
    assert after.height > before.height
    assert sum(tone < 128 for tone in strip.tobytes()) < strip.width * strip.height * 0.1


def test_a_page_with_room_keeps_its_size() -> None:
    source = page_pdf([FOOT])
    after = shown(assemble(bare(source)).pdf)
    assert after.size == shown(source).size


@pytest.mark.parametrize(
    "content",
    [
        b"q q 3 0 0 3 0 0 cm BT /F0 9 Tf 30 100 Td (open) Tj ET",
        b"Q Q BT /F0 9 Tf 72 300 Td (closed) Tj ET Q",
        b"0 0 5 5 re W n 1 g 2 Tr BT /F0 9 Tf 3 Tr 72 300 Td (text left open) Tj",
        [b"q 2 0 0 2 0 0 cm", b"BT /F0 9 Tf 50 100 Td (two streams) Tj ET"],
    ],
    ids=["saves", "restores", "text-left-open", "array"],
)
def test_unbalanced_content_does_not_move_or_hide_the_stamp(content: bytes | list[bytes]) -> None:
    tidy = shown(assemble(bare(page_pdf([b""]))).pdf)
    stamped = shown(assemble(bare(page_pdf([content]))).pdf)
    foot = (0, tidy.height - 80, tidy.width, tidy.height)
    assert tidy.crop(foot).tobytes() == stamped.crop(foot).tobytes()
    assert min(tidy.crop(foot).tobytes()) < 100


def test_a_user_unit_does_not_change_the_size_of_the_stamp() -> None:
    source = page_pdf([b"0 g 100 100 9 9 re f"], box=(0, 0, 306, 396), unit=2)
    with pikepdf.open(BytesIO(assemble(bare(source)).pdf)) as packet:
        content = packet.pages[0].Contents.read_bytes()
    assert b"q 0.5 0 0 0.5 0 0 cm" in content
    assert b"/S 8.000 Tf" in content


@pytest.mark.parametrize("size", [(144, 216), (60, 90), (30, 400), (700, 12), (2592, 3456)])
def test_tiny_and_huge_pages_carry_the_whole_stamp(size: tuple[int, int]) -> None:
    source = page_pdf([b"0 g 3 5 2 2 re f"], box=(0, 0, *size))
    packet = assemble(bare(source))
    assert "Client copy · Page 1 of 1" in " ".join(texts(packet)[0].split())
    before, after = shown(source), shown(packet.pdf)
    left, top, right, bottom = pixels.changed_box(before, after)
    assert left > 0
    assert right < after.width
    assert 0 < top < bottom < after.height
    assert pixels.inked_pixels_that_changed(before, after) == 0


def test_a_huge_page_gets_a_larger_stamp() -> None:
    source = page_pdf([b""], box=(0, 0, 2592, 3456))
    with pikepdf.open(BytesIO(assemble(bare(source)).pdf)) as packet:
        assert b"/S 26.182 Tf" in packet.pages[0].Contents.read_bytes()


def test_page_size_and_rotation_are_kept() -> None:
    source = page_pdf(box=(10, 20, 300, 500), rotate=90)
    page = pypdf.PdfReader(BytesIO(assemble(bare(source)).pdf)).pages[0]
    assert page.rotation == 90
    assert [float(each) for each in page.mediabox] == [10, 20, 300, 500]


def test_a_page_without_content_is_stamped_too() -> None:
    with pikepdf.open(BytesIO(page_pdf())) as pdf:
        del pdf.pages[0].Contents
        file = BytesIO()
        pdf.save(file)
    assert "Page 1 of 1" in texts(assemble(bare(file.getvalue())))[0]
