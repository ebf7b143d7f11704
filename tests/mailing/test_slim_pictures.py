"""Pictures are brought down within the stated quality, and only those that may be."""

import hashlib
import io
from dataclasses import dataclass

import numpy
import pikepdf
import pytest
from PIL import Image
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

from packets.base.errors import OurFault
from packets.mailing.page_weights import largest_pages, page_weights
from packets.mailing.slim_pictures import slim_pictures


def grain(width: int, height: int, mode: str = "RGB") -> Image.Image:
    """Paper with a little grain: large without loss, small as JPEG."""
    bands = len(Image.new(mode, (1, 1)).getbands())
    data = hashlib.shake_256(mode.encode()).digest(width * height * bands)
    return Image.frombytes(mode, (width, height), bytes(240 + byte % 8 for byte in data))


def page(*pictures: Image.Image, inches: float = 4, mask: str | None = None) -> bytes:
    """A page for each picture, shown so many inches wide."""
    target = io.BytesIO()
    canvas = Canvas(target, invariant=True)
    for picture in pictures:
        points = inches * 72
        height = points * picture.height / picture.width
        canvas.drawImage(ImageReader(picture), 50, 100, points, height, mask=mask)
        canvas.drawString(50, 60, "Total income 48,210")
        canvas.showPage()
    canvas.save()
    return target.getvalue()


@dataclass(frozen=True)
class Shown:
    """One picture of a file."""

    size: tuple[int, int]
    coding: str
    masked: bool
    mean: float


def images(pdf: bytes) -> list[Shown]:
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        return [
            Shown(
                (int(item.Width), int(item.Height)),
                str(item.get("/Filter")),
                "/SMask" in item,
                float(numpy.asarray(pikepdf.PdfImage(item).as_pil_image().convert("L")).mean()),
            )
            for item in opened.objects
            if isinstance(item, pikepdf.Stream) and item.get("/Subtype") == pikepdf.Name.Image
        ]


@pytest.mark.parametrize("mode", ["RGB", "L"])
def test_a_picture_of_more_than_150_dots_an_inch_is_shown_with_150(mode: str) -> None:
    before = page(grain(1200, 900, mode))
    slim = slim_pictures(before, 60)
    (image,) = images(slim.pdf)
    assert slim.pictures == 1
    assert len(slim.pdf) < len(before) / 3
    assert (image.size, image.coding) == ((600, 450), "/DCTDecode")
    assert abs(image.mean - 243.5) < 2


def test_the_text_of_the_page_stays() -> None:
    slim = slim_pictures(page(grain(1200, 900)), 60)
    with pikepdf.open(io.BytesIO(slim.pdf)) as pdf:
        assert b"Total income 48,210" in pdf.pages[0].Contents.read_bytes()


def test_twice_makes_nothing_smaller_and_the_same_gives_the_same() -> None:
    before = page(grain(1200, 900), grain(1000, 800))
    once = slim_pictures(before, 60)
    assert once == slim_pictures(before, 60)
    again = slim_pictures(once.pdf, 60)
    assert (again.pdf, again.pictures) == (once.pdf, 0)


def test_a_picture_shown_twice_keeps_what_its_larger_showing_needs() -> None:
    picture = grain(1200, 900)
    target = io.BytesIO()
    canvas = Canvas(target, invariant=True)
    reader = ImageReader(picture)
    canvas.drawImage(reader, 50, 500, 72, 54)
    canvas.drawImage(reader, 50, 50, 432, 324)
    canvas.showPage()
    canvas.save()
    (image,) = images(slim_pictures(target.getvalue(), 60).pdf)
    assert image.size == (900, 675)


def test_a_drawing_of_one_bit_stays_as_it_is() -> None:
    noise = grain(3000, 2400, "L").point(lambda level: 255 if level > 243 else 0)
    before = page(noise.convert("1"))
    with pikepdf.open(io.BytesIO(before)) as pdf:
        (image,) = [i for i in pdf.objects if isinstance(i, pikepdf.Stream) and "/Width" in i]
        image.BitsPerComponent, image.ColorSpace = 1, pikepdf.Name.DeviceGray
        image.write(noise.convert("1").tobytes())
        target = io.BytesIO()
        pdf.save(target, deterministic_id=True)
    assert slim_pictures(target.getvalue(), 60).pictures == 0


def test_a_soft_mask_keeps_its_size_and_its_picture_shrinks() -> None:
    picture = grain(1200, 900)
    picture.putalpha(grain(1200, 900, "L"))
    slim = slim_pictures(page(picture, mask="auto"), 60)
    sizes = sorted((image.size[0], image.masked) for image in images(slim.pdf))
    assert sizes == [(600, True), (1200, False)]


def test_what_does_not_open_is_our_own_fault() -> None:
    with pytest.raises(OurFault):
        slim_pictures(b"%PDF-1.7 nothing", 60)


def test_the_heaviest_pages_are_named_first() -> None:
    weights = page_weights(page(grain(300, 200), grain(900, 700), grain(100, 50)))
    assert sum(weights) > 900 * 700
    assert largest_pages(weights).startswith("page 2 (")
    assert largest_pages(weights, 1).count("page") == 1
