"""A region is taken out of a page whole, and nothing outside it changes."""

import io
import re
from collections.abc import Callable

import numpy as np
import pikepdf
import pymupdf
import pypdfium2
import pytest
import region_pages as pages
from PIL import Image
from region_pages import HIDDEN, KEPT, REGION, as_shown, turned

from packets.base.errors import Damaged
from packets.base.geometry import Box
from packets.handover.blanked_regions import blank_regions
from packets.intake.page_corrections import Region

DPI = 100
GREY = 209
"""What stands where a region was: 0.82 of 255."""
PICTURES = [
    pytest.param(lambda: pages.scan_page("RGB"), id="colour"),
    pytest.param(lambda: pages.scan_page("L"), id="grey"),
    pytest.param(lambda: pages.scan_page("1"), id="bilevel"),
    pytest.param(pages.jpeg_page, id="JPEG"),
    pytest.param(pages.inline_page, id="inline"),
    pytest.param(pages.stencil_page, id="stencil"),
    pytest.param(pages.hidden_scan_page, id="behind a white field"),
]
TEXTS = [
    pytest.param(pages.text_page, id="text"),
    pytest.param(pages.form_page, id="form XObjects"),
    pytest.param(pages.invisible_page, id="invisible text"),
]


def pixels(pdf: bytes) -> np.ndarray:
    document = pypdfium2.PdfDocument(pdf)
    try:
        return document[0].render(scale=DPI / 72).to_numpy()[:, :, :3].astype(int)
    finally:
        document.close()


def text_of(pdf: bytes) -> str:
    document = pypdfium2.PdfDocument(pdf)
    try:
        return document[0].get_textpage().get_text_range()
    finally:
        document.close()


def outside(picture: np.ndarray, box: Box, slack: int = 2) -> np.ndarray:
    """The picture with the region and a rim of some pixels painted over."""
    painted = picture.copy()
    scale = DPI / 72
    rows = slice(max(int(box.y0 * scale) - slack, 0), int(box.y1 * scale) + slack + 1)
    columns = slice(max(int(box.x0 * scale) - slack, 0), int(box.x1 * scale) + slack + 1)
    painted[rows, columns] = 0
    return painted


def inside(picture: np.ndarray, box: Box) -> np.ndarray:
    scale = DPI / 72
    return picture[
        int(box.y0 * scale) + 3 : int(box.y1 * scale) - 3,
        int(box.x0 * scale) + 3 : int(box.x1 * scale) - 3,
    ]


def blanked(pdf: bytes, box: Box) -> bytes:
    done = blank_regions(pdf, [Region(1, box, "a reason")])
    assert done.faults == ()
    assert [region.box for region in done.regions] == [box]
    return done.pdf


def all_streams(pdf: bytes) -> bytes:
    with pikepdf.open(io.BytesIO(pdf)) as document:
        return b"\n".join(
            one.read_bytes() if one.get("/Subtype") != "/Image" else b""
            for one in document.objects
            if isinstance(one, pikepdf.Stream)
        )


@pytest.mark.parametrize("degrees", [0, 90, 180, 270])
@pytest.mark.parametrize("page", TEXTS)
def test_text_goes_from_the_file_and_its_neighbours_stay(
    page: Callable[[], bytes], degrees: int
) -> None:
    pdf, box = turned(page(), degrees), as_shown(REGION, degrees)
    assert HIDDEN in text_of(pdf)
    done = blanked(pdf, box)
    assert not re.search(r"Quin|4711", text_of(done))
    assert b"4711" not in all_streams(done)
    assert all(words in text_of(done) for words in KEPT)
    before, after = pixels(pdf), pixels(done)
    assert np.abs(outside(before, box) - outside(after, box)).max() < 8
    assert np.abs(inside(after, box) - GREY).max() < 3


@pytest.mark.parametrize("degrees", [0, 90, 180, 270])
def test_a_region_is_counted_on_the_page_as_it_is_shown(degrees: int) -> None:
    for cropped, unit in ((True, 1.0), (False, 2.0), (True, 1.5)):
        pdf = turned(pages.text_page(), degrees, cropped=cropped, unit=unit)
        done = blanked(pdf, as_shown(REGION, degrees, cropped=cropped, unit=unit))
        assert "4711" not in text_of(done)
        assert all(words in text_of(done) for words in KEPT)


@pytest.mark.parametrize("page", PICTURES)
def test_pixels_go_from_the_picture_itself_or_the_packet_is_held(
    page: Callable[[], bytes],
) -> None:
    pdf = page()
    done = blank_regions(pdf, [Region(1, REGION, "a reason")])
    if done.faults:  # no half measures: such a picture is left, and the build stops
        assert done.faults == ("page 1: something is left in a region that was to be blanked",)
        return
    assert np.abs(outside(pixels(pdf), REGION, 4) - outside(pixels(done.pdf), REGION, 4)).max() < 30
    (picture,) = pictures_in(done.pdf)
    across, down = picture.shape[1] / pages.WIDTH, picture.shape[0] / pages.HEIGHT
    field = picture[
        int(REGION.y0 * down) + 2 : int(REGION.y1 * down) - 2,
        int(REGION.x0 * across) + 2 : int(REGION.x1 * across) - 2,
    ]
    assert field.min() == field.max()
    assert picture.min() != picture.max()


def pictures_in(pdf: bytes) -> list[np.ndarray]:
    """Every picture that the page draws, as its bytes say and not as the page shows it."""
    with pymupdf.open(stream=pdf, filetype="pdf") as document:
        blocks = document[0].get_text("dict", flags=pymupdf.TEXT_PRESERVE_IMAGES)["blocks"]
        drawn = [block["image"] for block in blocks if block["type"] == 1]
    return [np.asarray(Image.open(io.BytesIO(one)).convert("L")) for one in drawn]


def test_drawings_go_that_reach_into_the_region_and_others_stay() -> None:
    pdf = pages.drawn_page()
    done = blanked(pdf, REGION)
    before, after = pixels(pdf), pixels(done)
    below = slice(int(105 * DPI / 72), None)
    assert (before[below] == after[below]).all()  # both rules are there still
    assert b" c\n" not in all_streams(done)


def test_one_region_takes_nothing_from_another_page() -> None:
    with pikepdf.open(io.BytesIO(pages.scan_page())) as document:
        document.pages.append(document.pages[0])  # the same picture on both
        pdf = pages.saved(document)
    done = blank_regions(pdf, [Region(2, REGION, "a reason")])
    assert done.faults == ()
    assert (pixels(pdf) == pixels(done.pdf)).all()


def test_the_same_regions_make_the_same_bytes() -> None:
    pdf = pages.text_page()
    assert blanked(pdf, REGION) == blanked(pdf, REGION)


def test_a_region_that_reaches_beyond_its_page_ends_there() -> None:
    done = blank_regions(pages.text_page(), [Region(1, Box(195, 80, 5000, 9000), "all")])
    assert done.faults == ()
    assert done.regions[0].box == Box(195, 80, 612, 792)


def test_what_is_no_pdf_is_refused() -> None:
    with pytest.raises(Damaged):
        blank_regions(b"%PDF-1.7 nothing", [Region(1, REGION, "a reason")])
