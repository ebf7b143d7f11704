"""A barcode that carries a number is painted over whole."""

import base64
import random

import zxingcpp
from masking_run import known_number, mask
from picture_eyes import rendered, seen_on
from pikepdf import Name
from PIL import Image, ImageDraw, ImageFont, ImageOps
from planted_barcodes import barcode, payloads_in
from planted_pages import NUMBER
from planted_pictures import flate, picture_sheet

DIGITS = NUMBER.replace("-", "")


def page_with(picture, matrix=None):
    width, height = picture.width / 3, picture.height / 3
    placed = [matrix or b"%f 0 0 %f 10 60 cm" % (width, height)]
    return picture_sheet(lambda d: flate(d, picture, Name.DeviceGray), placed=placed)


def test_a_payload_in_another_coding_is_seen_through():
    packed = base64.b64encode(f"taxpayer={DIGITS};wages=1".encode()).decode()
    pdf = page_with(barcode("QRCode", packed))
    assert not payloads_in(rendered(mask(pdf).pdf))


def test_a_known_number_in_a_barcode_is_seen():
    pdf = page_with(barcode("QRCode", "a9b8c7d6e5f4g3h2i0"))
    result = mask(pdf, [known_number(NUMBER)])
    assert not payloads_in(rendered(result.pdf))


def test_a_barcode_without_a_number_stays():
    pdf = page_with(barcode("QRCode", "form 1040 page 1 of 2"))
    result = mask(pdf)
    assert payloads_in(rendered(result.pdf)) == payloads_in(rendered(pdf))
    assert not result.masks


def test_a_note_tells_what_stood_there():
    pdf = page_with(barcode("PDF417", f"SSN {NUMBER}", 6))
    result = mask(pdf)
    assert "barcoderemoved" in seen_on(result.pdf)


def spoiled_scan(label: str) -> bytes:
    """A paper with a stacked code of which every tenth module is wrong."""
    code, chance = barcode("PDF417", f"W2|{NUMBER}|50000.00|SAMPLE"), random.Random(1)
    left, top, right, bottom = 120, 120, code.width - 124, code.height - 120
    for y in range(top, bottom, 4):
        for x in range(left, right, 4):
            if chance.random() < 0.15:
                module = ImageOps.invert(code.crop((x, y, x + 4, y + 4)))
                code.paste(module, (x, y))
    paper = Image.new("L", (code.width, code.height + 120), 255)
    paper.paste(code, (0, 120))
    font = ImageFont.load_default(size=40)
    ImageDraw.Draw(paper).text((60, 60), label, font=font, fill=0)
    return page_with(paper)


def undecoded_in(pdf: bytes) -> list[object]:
    return [c for c in zxingcpp.read_barcodes(rendered(pdf), return_errors=True) if not c.valid]


def test_a_code_that_does_not_decode_goes_from_a_paper_with_a_taxpayers_label():
    pdf = spoiled_scan("Employee's social security number")
    assert undecoded_in(pdf)
    assert not payloads_in(rendered(pdf))
    result = mask(pdf)
    assert [item.within for item in result.masks] == ["barcode"]
    assert not result.unread
    assert not undecoded_in(result.pdf)


def test_a_code_that_does_not_decode_stays_on_other_papers():
    pdf = spoiled_scan("A parcel for the sample office")
    assert mask(pdf).masks == ()
