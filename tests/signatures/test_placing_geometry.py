"""Turned pages and turned widgets: the ink is where the page as shown has the box."""

import io
from pathlib import Path

import pikepdf
import pypdfium2
import pytest
from pikepdf import Array, Dictionary
from signing_samples import add_field, as_bytes, form, grant_book, sign

from packets.signatures.page_frame import PageFrame
from packets.signatures.upright import Upright, box_of, frame_of


def inked_box(before: bytes, after: bytes) -> tuple[int, int, int, int]:
    from PIL import ImageChops

    pictures = []
    for pdf in (before, after):
        with pypdfium2.PdfDocument(pdf) as document:
            pictures.append(document[0].render(scale=1).to_pil().convert("L"))
    box = ImageChops.difference(*pictures).point([0] * 40 + [255] * 216).getbbox()
    assert box is not None
    return box


@pytest.mark.parametrize("turn", [0, 90, 180, 270, -90, 450])
@pytest.mark.parametrize("widget_turn", [None, 0, 90, 180, 270])
def test_the_record_and_the_ink_agree_on_a_turned_page(
    tmp_path: Path, turn: int, widget_turn: int | None
) -> None:
    document = form(size=(500, 700))
    document.pages[0].obj.Rotate = turn
    document.pages[0].obj.CropBox = Array([20, 30, 480, 690])
    before = as_bytes(document)
    keys = {} if widget_turn is None else {"MK": Dictionary(R=widget_turn)}
    add_field(document, "taxpayer_signature", (150, 200, 300, 350), **keys)
    signed = sign(document, grant_book(tmp_path))
    box = signed.placements[0].box
    found = inked_box(before, signed.pdf)
    for one, other in zip(found, (box.x0, box.y0, box.x1, box.y1), strict=True):
        assert abs(one - other) < 3


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
def test_a_widget_that_says_nothing_is_signed_upright_as_shown(tmp_path: Path, turn: int) -> None:
    document = form(size=(500, 700))
    document.pages[0].obj.Rotate = turn
    add_field(document, "taxpayer_signature", (150, 200, 300, 350))
    box = sign(document, grant_book(tmp_path)).placements[0].box
    assert box.width > box.height


def test_a_widget_turned_with_its_page_is_upright(tmp_path: Path) -> None:
    document = form(size=(500, 700))
    document.pages[0].obj.Rotate = 90
    add_field(document, "taxpayer_signature", (100, 100, 130, 300), MK=Dictionary(R=90))
    box = sign(document, grant_book(tmp_path)).placements[0].box
    assert box.width > box.height
    assert box.height == pytest.approx(30)


@pytest.mark.parametrize(
    "content", [b"0.5 0 0 0.5 9 9 cm", b"q q 2 0 0 2 0 0 cm", b"Q Q 0.1 0 0 0.1 0 0 cm q"]
)
def test_a_page_that_leaves_its_state_open_moves_nothing(tmp_path: Path, content: bytes) -> None:
    document = form()
    document.pages[0].obj.Contents = document.make_stream(content)
    before = as_bytes(document)
    add_field(document, "taxpayer_signature")
    signed = sign(document, grant_book(tmp_path))
    box = signed.placements[0].box
    found = inked_box(before, signed.pdf)
    for one, other in zip(found, (box.x0, box.y0, box.x1, box.y1), strict=True):
        assert abs(one - other) < 3


def test_a_page_without_resources_or_contents_is_signed(tmp_path: Path) -> None:
    document = form()
    for key in ("/Resources", "/Contents"):
        if key in document.pages[0].obj:
            del document.pages[0].obj[key]
    add_field(document, "taxpayer_signature")
    assert len(sign(document, grant_book(tmp_path)).placements) == 1


def test_inherited_resources_and_rotation_are_kept(tmp_path: Path) -> None:
    document = form(pages=2)
    shared = document.make_indirect(
        Dictionary(Font=Dictionary(F1=Dictionary(Type=pikepdf.Name.Font)))
    )
    document.Root.Pages.Resources = shared
    document.Root.Pages.Rotate = 90
    for page in document.pages:
        for key in ("/Resources", "/Rotate"):
            if key in page.obj:
                del page.obj[key]
    add_field(document, "taxpayer_signature", (100, 100, 130, 300))
    signed = sign(document, grant_book(tmp_path))
    assert signed.placements[0].box.width > signed.placements[0].box.height
    with pikepdf.open(io.BytesIO(signed.pdf)) as result:
        assert "/F1" in result.pages[0].obj.Resources.Font
        assert "/XObject" not in result.Root.Pages.get("/Resources", Dictionary())


@pytest.mark.parametrize("rotation", [0, 90, 180, 270])
def test_the_way_to_the_page_as_shown_leads_back(rotation: int) -> None:
    page = PageFrame((10.0, 20.0, 400.0, 700.0), rotation)
    area = (50.0, 60.0, 120.0, 90.0)
    assert page.area_of(page.shown_box(area)) == pytest.approx(area)
    for turn in (0, 90, 180, 270):
        size = (390.0, 680.0) if (rotation + turn) % 180 == 0 else (680.0, 390.0)
        upright = Upright(turn, *size)
        box = box_of(area, upright, page)
        frame = frame_of(box, upright, page)
        assert frame.area == pytest.approx(area)
        assert frame.degrees == (rotation - turn) % 360
        assert (frame.width, frame.height) == pytest.approx((box.width, box.height))
