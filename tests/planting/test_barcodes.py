"""A barcode that carries a number is painted over whole."""

import base64

import pytest
from masking_run import known_number, mask
from picture_eyes import rendered, seen_on
from pikepdf import Name
from planted_barcodes import SYMBOLOGIES, barcode, payloads_in
from planted_pages import NUMBER
from planted_pictures import flate, picture_sheet

DIGITS = NUMBER.replace("-", "")


def page_with(picture, matrix=None):
    width, height = picture.width / 3, picture.height / 3
    placed = [matrix or b"%f 0 0 %f 10 60 cm" % (width, height)]
    return picture_sheet(lambda d: flate(d, picture, Name.DeviceGray), placed=placed)


@pytest.mark.parametrize("symbology", SYMBOLOGIES)
def test_a_barcode_with_a_number_does_not_decode_any_longer(symbology):
    payload = DIGITS if symbology in ("Code128", "Code39") else f"W2|{NUMBER}|50000.00"
    pdf = page_with(barcode(symbology, payload, 2 if symbology == "Code39" else 4))
    assert payload in payloads_in(rendered(pdf))
    result = mask(pdf)
    assert [item.within for item in result.masks] == ["barcode"]
    assert not payloads_in(rendered(result.pdf))
    assert not result.unread


@pytest.mark.parametrize("turns", [1, 2, 3])
def test_a_barcode_lying_any_way_is_painted_over(turns):
    picture = barcode("PDF417", f"SSN {NUMBER}").rotate(90 * turns, expand=True)
    pdf = page_with(picture)
    assert payloads_in(rendered(pdf))
    assert not payloads_in(rendered(mask(pdf).pdf))


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
