"""Hiding places in pictures: pixels, bar codes, data beside the pixels."""

import io
from collections.abc import Callable

import zxingcpp
from outbound_pages import opened, saved
from pikepdf import Dictionary, Name, Stream
from PIL import Image, ImageDraw, ImageFont
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen import canvas

PLACES: dict[str, Callable[[str], bytes]] = {}


def place(maker: Callable[[str], bytes]) -> Callable[[str], bytes]:
    PLACES[maker.__name__] = maker
    return maker


def picture_of(text: str, size: tuple[int, int] = (1000, 200)) -> Image.Image:
    picture = Image.new("L", size, 255)
    font = ImageFont.load_default(48)
    ImageDraw.Draw(picture).text((60, 70), text, font=font, fill=0)
    return picture


def page_with_picture(picture: Image.Image, cover: bool = False) -> bytes:
    out = io.BytesIO()
    sheet = canvas.Canvas(out, pagesize=(612, 792), invariant=1)
    kept = io.BytesIO()
    picture.save(kept, "PNG")
    kept.seek(0)

    sheet.drawImage(ImageReader(kept), 72, 400, width=picture.width / 4, height=picture.height / 4)
    if cover:
        sheet.rect(60, 390, 400, 100, fill=1)
    sheet.showPage()
    sheet.save()
    return out.getvalue()


@place
def picture(text: str) -> bytes:
    return page_with_picture(picture_of(f"Number {text} on file"))


@place
def picture_under_a_black_box(text: str) -> bytes:
    return page_with_picture(picture_of(f"Number {text} on file"), cover=True)


@place
def picture_lying_on_its_side(text: str) -> bytes:
    upright = picture_of(f"Number {text} on file with more words to read")
    return page_with_picture(upright.rotate(90, expand=True))


@place
def bar_code_in_a_picture(text: str) -> bytes:

    code = zxingcpp.create_barcode(f"W2|{text}|X", zxingcpp.BarcodeFormat.PDF417)
    return page_with_picture(_code(code))


def _code(code: object) -> Image.Image:

    image = zxingcpp.write_barcode_to_image(code, scale=4)
    view = memoryview(image)
    height, width = view.shape[:2]
    return Image.frombytes("L", (width, height), view.tobytes())


@place
def picture_metadata(text: str) -> bytes:
    kept = io.BytesIO()
    comment = f"scan of {text}".encode()
    picture_of("Nothing to see").save(kept, "JPEG", comment=comment)
    pdf = opened()
    image = Stream(pdf, b"")
    image.write(kept.getvalue(), filter=Name.DCTDecode)
    image.update(
        Dictionary(
            Type=Name.XObject,
            Subtype=Name.Image,
            Width=1000,
            Height=200,
            ColorSpace=Name.DeviceGray,
            BitsPerComponent=8,
        )
    )
    page = pdf.pages[0]
    page.Resources.XObject = Dictionary(Im1=pdf.make_indirect(image))
    page.contents_add(Stream(pdf, b"q 250 0 0 50 72 400 cm /Im1 Do Q"), prepend=False)
    return saved(pdf)
