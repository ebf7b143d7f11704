"""The pictures among the samples have the properties that they are there to try."""

import io

import zxingcpp
from pdfminer.high_level import extract_text
from PIL import Image
from pypdf import PdfReader
from sample_scan import ROOT, pictures_of

JOINT = ROOT / "joint-return"
DOCUMENTS = JOINT / "documents"
ORIENTATION = 0x0112


def test_the_scanned_w2_holds_no_text_and_one_grey_picture_at_200_dpi() -> None:
    path = DOCUMENTS / "w-2" / "scan-0007.pdf"
    assert extract_text(path).strip() == ""
    (picture,) = pictures_of(path)
    (page,) = PdfReader(path).pages
    assert picture.mode == "L"
    assert round(picture.width / float(page.mediabox.width) * 72) == 200


def test_the_scanned_w2_carries_its_boxes_in_a_pdf417_symbol() -> None:
    (picture,) = pictures_of(DOCUMENTS / "w-2" / "scan-0007.pdf")
    (code,) = zxingcpp.read_barcodes(picture)
    assert code.format == zxingcpp.BarcodeFormat.PDF417
    lines = code.text.split("\r")
    assert lines[1] == "666123481"
    assert lines[2] == "073009264"
    assert "18240.00" in lines


def test_the_photo_lies_on_its_side_and_says_so() -> None:
    with Image.open(DOCUMENTS / "receipt" / "IMG_2041.jpg") as photo:
        assert photo.getexif()[ORIENTATION] == 6
        assert photo.width > photo.height


def test_the_tiff_scan_has_two_black_and_white_pages() -> None:
    with Image.open(DOCUMENTS / "scan-0012.tif") as scan:
        assert getattr(scan, "n_frames", 1) == 2
        assert scan.mode == "1"


def test_the_identity_card_is_a_png_with_few_colours() -> None:
    with Image.open(DOCUMENTS / "identity" / "scan-0003.png") as card:
        assert (card.format, card.mode) == ("PNG", "P")


def test_one_signature_is_ink_on_white_one_on_nothing_and_one_on_paper() -> None:
    kinds = {}
    for name in ("taxpayer.png", "spouse.png", "ero.jpg"):
        with Image.open(io.BytesIO((JOINT / "signatures" / name).read_bytes())) as picture:
            corner = picture.convert("RGBA").getpixel((1, 1))
            kinds[name] = (picture.format, picture.mode, corner)
    assert kinds["taxpayer.png"] == ("PNG", "RGB", (255, 255, 255, 255))
    assert kinds["spouse.png"][:2] == ("PNG", "RGBA")
    assert kinds["spouse.png"][2][3] == 0
    assert kinds["ero.jpg"][:2] == ("JPEG", "RGB")
    assert kinds["ero.jpg"][2] != (255, 255, 255, 255)
