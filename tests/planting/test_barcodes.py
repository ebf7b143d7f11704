"""A barcode that carries a number is painted over whole."""

import base64

from masking_run import known_number, mask
from picture_eyes import rendered, seen_on
from pikepdf import Name
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
