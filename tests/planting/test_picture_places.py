"""A picture may lie on its side, mirrored, twice, inside other things, inline, or in strips."""

import io

import pikepdf
import pytest
from masking_run import mask
from picture_eyes import rendered, seen_in, seen_on
from pikepdf import Array, Dictionary, Name
from PIL import Image
from planted_pages import NUMBER, as_bytes, blank_sheet, form
from planted_pictures import SIZE, drawn, flate, jpeg, one_bit_flate, picture_sheet, stored

MASKED = "XXX-XX-4320"

TURN = Image.Transpose
WAYS = {
    "upright": (b"300 0 0 100 50 200 cm", None),
    "on its head": (b"-300 0 0 -100 350 300 cm", TURN.ROTATE_180),
    "mirrored": (b"-300 0 0 100 350 200 cm", TURN.FLIP_LEFT_RIGHT),
    "flipped": (b"300 0 0 -100 50 300 cm", TURN.FLIP_TOP_BOTTOM),
    "on its left side": (b"0 100 -300 0 350 200 cm", TURN.ROTATE_270),
    "on its right side": (b"0 -100 300 0 50 300 cm", TURN.ROTATE_90),
    "transposed": (b"0 100 300 0 50 200 cm", TURN.TRANSVERSE),
    "transversed": (b"0 -100 -300 0 350 300 cm", TURN.TRANSPOSE),
}
"""The matrix, and how the picture must be stored to be seen upright through it."""


def grey(picture):
    return lambda document: flate(document, picture, Name.DeviceGray)


@pytest.mark.parametrize(("matrix", "turn"), WAYS.values(), ids=WAYS.keys())
def test_a_picture_that_its_matrix_turns_upright_is_masked(matrix, turn):
    picture = drawn() if turn is None else drawn().transpose(turn)
    pdf = picture_sheet(grey(picture), placed=[matrix])
    assert NUMBER in seen_on(pdf)
    result = mask(pdf)
    assert not result.unread
    text = seen_on(result.pdf)
    assert MASKED in text
    assert NUMBER[:6] not in text


@pytest.mark.parametrize("rotate", [90, 180, 270])
def test_a_picture_on_a_turned_page_is_masked(rotate):
    pdf = picture_sheet(grey(drawn()), keys={"/Rotate": rotate})
    assert NUMBER in seen_on(pdf)
    result = mask(pdf)
    assert MASKED in seen_on(result.pdf)


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


def nested(kind: str) -> bytes:
    document = blank_sheet()
    page = document.pages[0].obj
    image = document.make_indirect(grey(drawn())(document))
    content = b"q 300 0 0 100 50 200 cm /Im1 Do Q"
    holder = form(content)(document)
    holder.Resources = Dictionary(XObject=Dictionary(Im1=image))
    if kind == "form":
        page.Resources = Dictionary(XObject=Dictionary(X1=document.make_indirect(holder)))
        page.Contents = document.make_stream(b"/X1 Do")
    elif kind == "pattern":
        del holder["/Subtype"], holder["/Type"]
        for key in ("PatternType", "PaintType", "TilingType"):
            holder["/" + key] = 1
        holder.XStep = holder.YStep = 400
        page.Resources = Dictionary(Pattern=Dictionary(P1=document.make_indirect(holder)))
        page.Contents = document.make_stream(b"/Pattern cs /P1 scn 0 0 400 400 re f")
    else:
        glyph = document.make_stream(b"1 0 d0 q 1 0 0 0.34 0 0 cm /Im1 Do Q")
        page.Resources = Dictionary(
            Font=Dictionary(
                F9=Dictionary(
                    Type=Name.Font, Subtype=Name.Type3, FontBBox=Array([0, 0, 1, 1]),
                    FontMatrix=Array([1, 0, 0, 1, 0, 0]), CharProcs=Dictionary(a=glyph),
                    Encoding=Dictionary(Differences=Array([97, Name.a])), FirstChar=97,
                    LastChar=97, Widths=Array([1]),
                    Resources=Dictionary(XObject=Dictionary(Im1=image)),
                )
            )
        )  # fmt: skip
        page.Contents = document.make_stream(b"BT /F9 300 Tf 50 200 Td (a) Tj ET")
    return as_bytes(document)


@pytest.mark.parametrize("kind", ["form", "pattern", "glyph of a Type 3 font"])
def test_a_picture_inside_something_else_is_masked(kind):
    pdf = nested(kind)
    assert NUMBER in seen_on(pdf)
    result = mask(pdf)
    assert not result.unread
    text = seen_on(result.pdf)
    assert MASKED in text
    assert NUMBER[:6] not in text


INLINE = {
    "uncompressed": b"/W 900 /H 300 /BPC 8 /CS /G ID ",
    "in long words": b"/Width 900 /Height 300 /BitsPerComponent 8 /ColorSpace /DeviceGray ID ",
}


@pytest.mark.parametrize("head", INLINE.values(), ids=INLINE.keys())
@pytest.mark.parametrize("inside", ["page", "form"])
def test_an_inline_picture_is_masked(head, inside):
    content = b"q 300 0 0 100 50 200 cm BI " + head + drawn().tobytes() + b"\nEI Q"
    document = blank_sheet()
    page = document.pages[0].obj
    if inside == "form":
        drawing = document.make_indirect(form(content)(document))
        page.Resources = Dictionary(XObject=Dictionary(X1=drawing))
        content = b"/X1 Do"
    page.Contents = document.make_stream(content)
    pdf = as_bytes(document)
    assert NUMBER in seen_on(pdf)
    result = mask(pdf)
    assert not result.unread
    text = seen_on(result.pdf)
    assert MASKED in text
    assert NUMBER[:6] not in text


def test_an_inline_bullet_stays_inline():
    content = (
        b"q 9 0 0 9 50 200 cm BI /W 4 /H 4 /BPC 8 /CS /G ID " + bytes(range(40, 56)) + b" EI Q"
    )
    document = blank_sheet()
    document.pages[0].obj.Contents = document.make_stream(content)
    result = mask(as_bytes(document))
    with pikepdf.open(io.BytesIO(result.pdf)) as masked:
        assert b"BI" in masked.pages[0].obj.Contents.read_bytes()


def strips(count: int) -> bytes:
    """One scan cut into strips that lie on one another without a gap."""
    document = blank_sheet()
    page = document.pages[0].obj
    height = SIZE[1] // count
    content, images = b"", Dictionary()
    for k in range(count):
        part = drawn().crop((0, k * height, SIZE[0], (k + 1) * height))
        images[f"/Im{k}"] = document.make_indirect(flate(document, part, Name.DeviceGray))
        bottom = 300 - (k + 1) * height / 3
        content += b"q 300 0 0 %f 50 %f cm /Im%d Do Q " % (height / 3, bottom, k)
    page.Resources = Dictionary(XObject=images)
    page.Contents = document.make_stream(content)
    return as_bytes(document)


@pytest.mark.parametrize("count", [2, 4, 6, 12])
def test_a_number_that_runs_over_strips_is_masked_or_the_packet_held(count):
    pdf = strips(count)
    assert NUMBER in seen_on(pdf)
    result = mask(pdf)
    assert result.unread or NUMBER[:6] not in seen_on(result.pdf)


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
