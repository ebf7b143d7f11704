"""A picture may lie on its side, mirrored, twice, inside other things, inline, or in strips."""

import io

import pikepdf
import pytest
from masking_run import mask
from picture_eyes import rendered, seen_in, seen_on
from pikepdf import Dictionary, Name
from PIL import Image
from places_of_pictures import grey
from planted_pages import NUMBER, as_bytes, blank_sheet
from planted_pictures import SIZE, drawn, jpeg, one_bit_flate, picture_sheet, stored

MASKED = "XXX-XX-4320"


def test_a_picture_that_lies_on_its_side_is_masked_there():
    pdf = picture_sheet(grey(drawn()), placed=[b"0 300 -100 0 200 50 cm"])
    result = mask(pdf)
    text = seen_on(result.pdf)
    assert MASKED in text
    assert NUMBER not in text


def test_a_picture_drawn_twice_is_masked_in_both_places():
    pdf = picture_sheet(grey(drawn()), placed=[b"300 0 0 100 50 50 cm", b"0 180 -60 0 390 200 cm"])
    result = mask(pdf)
    assert seen_on(result.pdf).count(MASKED) >= 2
    assert NUMBER not in seen_on(result.pdf)


def test_a_picture_shared_by_pages_is_reported_on_each():
    document = blank_sheet(pages=2)
    image = document.make_indirect(grey(drawn())(document))
    for page in document.pages:
        page.obj.Resources = Dictionary(XObject=Dictionary(Im1=image))
        page.obj.Contents = document.make_stream(b"q 300 0 0 100 50 200 cm /Im1 Do Q")
    result = mask(as_bytes(document))
    assert [record.page for record in result.masks] == [1, 2]
    assert all(MASKED in seen_on(result.pdf, page) for page in (0, 1))


def test_an_inline_bullet_stays_inline():
    content = (
        b"q 9 0 0 9 50 200 cm BI /W 4 /H 4 /BPC 8 /CS /G ID " + bytes(range(40, 56)) + b" EI Q"
    )
    document = blank_sheet()
    document.pages[0].obj.Contents = document.make_stream(content)
    result = mask(as_bytes(document))
    with pikepdf.open(io.BytesIO(result.pdf)) as masked:
        assert b"BI" in masked.pages[0].obj.Contents.read_bytes()


def test_the_digits_pixels_are_really_gone():
    result = mask(picture_sheet(one_bit_flate))
    masked = rendered(result.pdf).crop((150 + 200, 300 + 80, 150 + 420, 300 + 190))
    assert not any(char.isdigit() for char in seen_in(masked))


def test_a_jpeg_keeps_its_tables_and_its_size():
    def make(document):
        return jpeg(document, drawn("RGB"), quality=61)

    pdf = picture_sheet(make)
    before, after = (jpeg_in(data) for data in (pdf, mask(pdf).pdf))
    assert before != after
    assert len(after) <= 1.3 * len(before)
    tables = [Image.open(io.BytesIO(data)).quantization for data in (before, after)]
    assert tables[0] == tables[1]


def jpeg_in(pdf: bytes) -> bytes:
    with pikepdf.open(io.BytesIO(pdf)) as document:
        return next(
            bytes(item.read_raw_bytes())
            for item in document.objects
            if isinstance(item, pikepdf.Stream) and item.get("/Filter") == Name.DCTDecode
        )


BROKEN = [
    Name.DCTDecode, Name.JPXDecode, Name.FlateDecode, Name.JBIG2Decode,
    Name.LZWDecode, Name.NoSuchDecode,
]  # fmt: skip


@pytest.mark.parametrize("coding", BROKEN, ids=str)
def test_a_picture_that_does_not_decode_holds_the_packet(coding):
    data = b"no such code " * 40
    pdf = picture_sheet(lambda d: stored(d, data, SIZE, ColorSpace=Name.DeviceGray, Filter=coding))
    result = mask(pdf)
    assert any("page 1" in words for words in result.unread)
