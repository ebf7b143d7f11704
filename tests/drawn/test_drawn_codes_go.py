"""Bar codes drawn as bars and squares are read; one that carries a number goes whole."""

import pytest
from drawn_run import changed, rendered, run, texts
from drawn_samples import code, page_of, words
from zxingcpp import BarcodeFormat

from packets.reading.barcodes import read_barcodes

LABEL = words("Employee social security number", 72, 700)
CODES = {
    "stacked": code("W2|666-12-3481|X", BarcodeFormat.PDF417),
    "matrix": code("666123481", BarcodeFormat.QRCode),
    "matrix in one path": code('{"tin":"666123481"}', BarcodeFormat.QRCode, one_path=True),
    "small matrix": code("666123481", BarcodeFormat.DataMatrix),
    "bars": code("666123481", BarcodeFormat.Code128),
    "bars of code 39": code("666-12-3481", BarcodeFormat.Code39, 0.8),
}


@pytest.mark.parametrize("drawing", CODES.values(), ids=CODES)
def test_a_drawn_code_with_a_number_goes(drawing: str) -> None:
    pdf = page_of(LABEL + drawing)
    assert read_barcodes(rendered(pdf))
    done = run(pdf)
    assert done.shown == ["barcode removed"]
    assert not done.removal.undone
    assert not read_barcodes(rendered(done.removal.pdf))
    assert texts(done.removal.pdf).startswith("Employee")
    assert (changed(pdf, done.removal.pdf) or (0, 0, 0, 0))[1] > 150


def test_a_code_that_carries_no_number_stays() -> None:
    pdf = page_of(LABEL + code("https://example.org/", BarcodeFormat.QRCode))
    assert run(pdf).removal.pdf == pdf


def test_a_code_that_nobody_reads_goes_from_a_page_with_a_label() -> None:
    drawing = code("666123481", BarcodeFormat.QRCode, spoiled=True)
    assert run(page_of(LABEL + drawing)).shown == ["barcode removed"]


def test_a_code_that_nobody_reads_stays_on_a_page_without_a_label() -> None:
    pdf = page_of(words("Parcel label", 72, 700) + code("81", BarcodeFormat.QRCode, spoiled=True))
    assert run(pdf).removal.pdf == pdf


def test_a_note_stands_where_a_code_of_some_size_was() -> None:
    assert "barcode removed" in texts(run(page_of(LABEL + CODES["stacked"])).removal.pdf)
