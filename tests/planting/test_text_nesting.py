"""A number inside forms, patterns, soft masks, glyph procedures and appearances."""

from masking_run import mask
from other_readers import all_digits, by_pdfium
from pikepdf import Array, Dictionary, Name, String
from places_nested import DRAW, TEXT, N, drawing
from planted_checks import assert_not_in_streams, assert_taken_out
from planted_pages import NUMBER, STAYING, as_bytes, blank_sheet, fill_page, form


def test_a_form_drawn_twice_on_a_page_loses_the_number_twice():
    pdf = drawing(content=b"/X1 Do q 1 0 0 1 0 -100 cm /X1 Do Q", X1=form(TEXT))
    result = assert_taken_out(pdf, times=2)
    assert len(result.masks) == 2


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
