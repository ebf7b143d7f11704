"""Hiding places on a page: what it draws, and what is attached to it."""

from collections.abc import Callable

from outbound_pages import helvetica, literal, opened, page_pdf, saved, with_content
from pikepdf import Array, Dictionary, Name, Stream, String

PLACES: dict[str, Callable[[str], bytes]] = {}


def place(maker: Callable[[str], bytes]) -> Callable[[str], bytes]:
    PLACES[maker.__name__] = maker
    return maker


@place
def page_text(text: str) -> bytes:
    return page_pdf(f"Number {text} on file")


@place
def invisible_text(text: str) -> bytes:
    return with_content(b"BT 3 Tr /F1 10 Tf 72 500 Td " + literal(text) + b" Tj ET")


@place
def text_off_the_page(text: str) -> bytes:
    return with_content(b"BT /F1 10 Tf 5000 5000 Td " + literal(text) + b" Tj ET")


@place
def white_text_under_a_box(text: str) -> bytes:
    return with_content(
        b"BT 1 g /F1 10 Tf 72 500 Td " + literal(text) + b" Tj ET 0 g 60 490 200 30 re f"
    )


@place
def one_glyph_at_a_time(text: str) -> bytes:
    shown = b" ".join(literal(char) + b" Tj" for char in text)
    return with_content(b"BT /F1 10 Tf 72 500 Td " + shown + b" ET")


@place
def kerned_text(text: str) -> bytes:
    shown = b" -20 ".join(literal(char) for char in text)
    return with_content(b"BT /F1 10 Tf 72 500 Td [" + shown + b"] TJ ET")


@place
def hex_text_in_content(text: str) -> bytes:
    return with_content(b"BT /F1 10 Tf 72 500 Td <" + text.encode().hex().encode() + b"> Tj ET")


@place
def form_xobject(text: str) -> bytes:
    pdf = opened()
    form = Stream(pdf, b"BT /F1 10 Tf 10 10 Td " + literal(text) + b" Tj ET")
    form.update(
        Dictionary(
            Type=Name.XObject,
            Subtype=Name.Form,
            BBox=[0, 0, 300, 30],
            Resources=Dictionary(Font=Dictionary(F1=helvetica(pdf))),
        )
    )
    page = pdf.pages[0]
    page.Resources.XObject = Dictionary(Fm1=pdf.make_indirect(form))
    page.contents_add(Stream(pdf, b"q 1 0 0 1 72 400 cm /Fm1 Do Q"), prepend=False)
    return saved(pdf)


@place
def form_xobject_never_drawn(text: str) -> bytes:
    pdf = opened()
    form = Stream(pdf, b"BT /F1 10 Tf 10 10 Td " + literal(text) + b" Tj ET")
    form.update(Dictionary(Type=Name.XObject, Subtype=Name.Form, BBox=[0, 0, 300, 30]))
    pdf.pages[0].Resources.XObject = Dictionary(Fm1=pdf.make_indirect(form))
    return saved(pdf)


def with_annotation(**entries: object) -> bytes:
    pdf = opened()
    annotation = Dictionary(Type=Name.Annot, Rect=[100, 100, 300, 120], **entries)
    pdf.pages[0].Annots = Array([pdf.make_indirect(annotation)])
    return saved(pdf)


@place
def annotation_text(text: str) -> bytes:
    return with_annotation(Subtype=Name.Text, Contents=String(f"See {text} please"))


@place
def link_target(text: str) -> bytes:
    action = Dictionary(S=Name.URI, URI=String(f"https://example.test/?n={text}"))
    return with_annotation(Subtype=Name.Link, A=action)


@place
def field_value(text: str) -> bytes:
    pdf = opened()
    field = pdf.make_indirect(
        Dictionary(
            Type=Name.Annot,
            Subtype=Name.Widget,
            FT=Name.Tx,
            T=String("f1_06"),
            V=String(text),
            Rect=[100, 100, 300, 120],
        )
    )
    pdf.pages[0].Annots = Array([field])
    pdf.Root.AcroForm = Dictionary(Fields=[field])
    return saved(pdf)


@place
def text_in_a_hidden_layer(text: str) -> bytes:
    pdf = opened()
    layer = pdf.make_indirect(Dictionary(Type=Name.OCG, Name=String("Notes")))
    pdf.Root.OCProperties = Dictionary(OCGs=[layer], D=Dictionary(OFF=[layer]))
    page = pdf.pages[0]
    page.Resources.Properties = Dictionary(L1=layer)
    content = b"/OC /L1 BDC BT /F1 10 Tf 72 500 Td " + literal(text) + b" Tj ET EMC"
    page.contents_add(Stream(pdf, content), prepend=False)
    return saved(pdf)


@place
def replacement_text(text: str) -> bytes:
    content = b"/Span << /ActualText " + literal(text) + b" >> BDC BT ET EMC"
    return with_content(content)
