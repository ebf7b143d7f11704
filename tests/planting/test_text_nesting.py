"""A number inside forms, patterns, soft masks, glyph procedures and appearances."""

import io

import pikepdf
import pytest
from masking_run import known_number, mask
from other_readers import all_digits, by_pdfium
from pikepdf import Array, Dictionary, Name, String
from planted_checks import assert_not_in_streams, assert_taken_out
from planted_pages import NUMBER, STAYING, as_bytes, blank_sheet, fill_page, form, sheet

N = NUMBER.encode()
TEXT = b"BT /F1 12 Tf 50 300 Td (" + N + b") Tj ET"
DRAW = b"q /X1 Do Q"


def drawing(*, content: bytes = DRAW, **forms: object) -> bytes:
    return sheet(content, resources={"XObject": forms})


def courier(document: pikepdf.Pdf) -> pikepdf.Object:
    return Dictionary(Type=Name.Font, Subtype=Name.Type1, BaseFont=Name.Courier)


FORMS = {
    "a form": drawing(X1=form(TEXT)),
    "a form with a matrix": drawing(X1=form(TEXT, matrix=(0.5, 0, 0, 0.8, 40, 20))),
    "a form turned": drawing(X1=form(TEXT, matrix=(0, 1, -1, 0, 400, 0))),
    "a form in a form": drawing(
        X1=form(b"q 0.9 0 0 0.9 5 5 cm /X2 Do Q", inner={"X2": form(TEXT)})
    ),
    "a form without resources": drawing(X1=form(TEXT, borrowing=True)),
    "a form that takes over font and size": drawing(
        content=b"BT /F1 12 Tf ET /X1 Do",
        X1=form(b"BT 50 300 Td (" + N + b") Tj ET", fonts={"F1": courier}),
    ),
    "a form with a font of its own under a used name": drawing(
        content=b"BT /F1 12 Tf 50 100 Td (words) Tj ET /X1 Do",
        X1=form(TEXT, fonts={"F1": courier}),
    ),
    "a form clipped to nothing": drawing(X1=form(TEXT, BBox=Array([0, 0, 1, 1]))),
    "a transparency group": drawing(
        X1=form(TEXT, Group=Dictionary(S=Name.Transparency, I=True, CS=Name.DeviceRGB))
    ),
}  # fmt: skip


@pytest.mark.parametrize("pdf", FORMS.values(), ids=FORMS.keys())
def test_a_number_in_a_form_is_taken_out(pdf):
    assert_taken_out(pdf, [known_number(NUMBER)])


def test_a_form_drawn_twice_on_a_page_loses_the_number_twice():
    pdf = drawing(content=b"/X1 Do q 1 0 0 1 0 -100 cm /X1 Do Q", X1=form(TEXT))
    result = assert_taken_out(pdf, times=2)
    assert len(result.masks) == 2


def test_a_number_composed_of_text_of_page_and_form_is_taken_out():
    pdf = drawing(
        content=b"BT /F1 12 Tf 50 300 Td (987-65) Tj ET /X1 Do",
        X1=form(b"BT /F1 12 Tf 92 300 Td (-4320) Tj ET"),
    )
    assert_taken_out(pdf)


def shared_form(second_page: bytes) -> bytes:
    document = blank_sheet(pages=2)
    shared = document.make_indirect(form(b"BT /F1 12 Tf 50 300 Td (65-4320) Tj ET")(document))
    for page, own in zip(
        document.pages, (b"BT /F1 12 Tf 25.99 300 Td (987-) Tj ET", second_page), strict=True
    ):
        fill_page(document, page.obj, own + b" /X1 Do", {}, {"XObject": {"X1": lambda _: shared}})
    return as_bytes(document)


def test_a_shared_form_changes_only_on_the_page_where_it_is_part_of_a_number():
    result = mask(shared_form(b""))
    first, second = by_pdfium(result.pdf).split("\n", 1)
    assert "XXX-XX-4320" in first
    assert "65-4320" in second


def test_a_shared_form_with_a_number_is_masked_on_every_page():
    document = blank_sheet(pages=3)
    shared = document.make_indirect(form(TEXT)(document))
    for page in document.pages:
        fill_page(document, page.obj, DRAW, {}, {"XObject": {"X1": lambda _: shared}})
    result = assert_taken_out(as_bytes(document), times=3)
    assert [mask.page for mask in result.masks] == [1, 2, 3]


def pattern(document: pikepdf.Pdf) -> pikepdf.Object:
    tile = form(TEXT, PatternType=1, PaintType=1, TilingType=1, XStep=400, YStep=400)(document)
    del tile["/Subtype"], tile["/Type"]
    return tile


def soft_mask(document: pikepdf.Pdf) -> pikepdf.Object:
    group = form(b"1 g " + TEXT, Group=Dictionary(S=Name.Transparency, CS=Name.DeviceGray))
    drawn = document.make_indirect(group(document))
    return Dictionary(SMask=Dictionary(S=Name.Luminosity, G=drawn))


UNUSUAL = {
    "a tiling pattern": (b"/Pattern cs /P1 scn 0 0 400 400 re f", {"Pattern": {"P1": pattern}}),
    "a soft mask": (b"/G1 gs 0 0 400 400 re f", {"ExtGState": {"G1": soft_mask}}),
}


@pytest.mark.parametrize("case", UNUSUAL.values(), ids=UNUSUAL.keys())
def test_a_number_in_a_pattern_or_soft_mask_is_taken_out(case):
    content, resources = case
    pdf = sheet(content, resources=resources)
    assert in_any_stream(pdf, N)
    result = mask(pdf, [known_number(NUMBER)])
    assert len(result.masks) == 1
    assert not result.unread
    assert not in_any_stream(result.pdf, b"987")
    assert in_any_stream(result.pdf, b"4320")


def in_any_stream(pdf: bytes, text: bytes) -> bool:
    with pikepdf.open(io.BytesIO(pdf)) as document:
        streams = [item for item in document.objects if isinstance(item, pikepdf.Stream)]
        return any(text in item.read_bytes() for item in streams)


def font_by_graphics_state(document: pikepdf.Pdf) -> pikepdf.Object:
    font = document.make_indirect(courier(document))
    return Dictionary(Font=Array([font, 14]))


def test_a_font_set_by_a_graphics_state_is_followed():
    content = b"/G1 gs BT 50 300 Td (" + N + b") Tj ET"
    assert_taken_out(sheet(content, resources={"ExtGState": {"G1": font_by_graphics_state}}))


def test_an_appearance_of_an_annotation_is_masked():
    document = blank_sheet()
    page = document.pages[0].obj
    look = document.make_indirect(form(b"BT /F1 12 Tf 5 5 Td (" + N + b") Tj ET")(document))
    look.BBox = Array([0, 0, 200, 30])
    page.Annots = Array(
        [
            document.make_indirect(
                Dictionary(
                    Type=Name.Annot,
                    Subtype=Name.FreeText,
                    Rect=Array([50, 300, 250, 330]),
                    F=4,
                    Contents=String(NUMBER),
                    DA=String("/Helv 12 Tf"),
                    AP=Dictionary(N=look),
                )
            )
        ]
    )
    pdf = as_bytes(document)
    result = mask(pdf)
    assert len(result.masks) == 1
    assert set(all_digits(result.pdf).values()) == {STAYING}
    assert_not_in_streams(result.pdf)


def test_content_of_a_layer_that_is_off_does_not_come_along():
    document = blank_sheet()
    group = document.make_indirect(Dictionary(Type=Name.OCG, Name=String("hidden")))
    document.Root.OCProperties = Dictionary(OCGs=Array([group]), D=Dictionary(OFF=Array([group])))
    page = document.pages[0].obj
    content = b"/OC /L1 BDC " + TEXT + b" EMC BT /F1 12 Tf 50 200 Td (seen) Tj ET"
    fill_page(document, page, content, {}, {"Properties": {"L1": lambda _: group}})
    pdf = as_bytes(document)
    assert "987654320" in all_digits(pdf)["pdfminer"]
    result = mask(pdf)
    assert set(all_digits(result.pdf).values()) == {""}
    assert "seen" in by_pdfium(result.pdf)
    assert_not_in_streams(result.pdf)
