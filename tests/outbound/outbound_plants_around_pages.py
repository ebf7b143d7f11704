"""Hiding places around the pages: information, outline, layers, attachments, scripts."""

from collections.abc import Callable

import pikepdf
from outbound_pages import helvetica, opened, page_pdf, saved
from pikepdf import Dictionary, Name, Stream, String

PLACES: dict[str, Callable[[str], bytes]] = {}


def place(maker: Callable[[str], bytes]) -> Callable[[str], bytes]:
    PLACES[maker.__name__] = maker
    return maker


@place
def document_information(text: str) -> bytes:
    pdf = opened()
    pdf.docinfo["/Subject"] = f"Return of {text}"
    return saved(pdf)


@place
def xmp_metadata(text: str) -> bytes:
    pdf = opened()
    body = (
        "<x:xmpmeta xmlns:x='adobe:ns:meta/'>"
        "<rdf:RDF xmlns:rdf='http://www.w3.org/1999/02/22-rdf-syntax-ns#'>"
        "<rdf:Description rdf:about='' xmlns:p='http://example.test/p/'>"
        f"<p:note>about {text} here</p:note></rdf:Description></rdf:RDF></x:xmpmeta>"
    )
    packet = Stream(pdf, body.encode(), Type=Name.Metadata, Subtype=Name.XML)
    pdf.Root.Metadata = pdf.make_indirect(packet)
    return saved(pdf)


@place
def text_attachment(text: str) -> bytes:
    pdf = opened()
    pdf.attachments["note.txt"] = f"the number is {text}".encode()
    return saved(pdf)


@place
def pdf_attachment(text: str) -> bytes:
    pdf = opened()
    pdf.attachments["inner.pdf"] = page_pdf(f"Number {text} on file")
    return saved(pdf, object_stream_mode=pikepdf.ObjectStreamMode.generate)


@place
def attachment_name(text: str) -> bytes:
    pdf = opened()
    pdf.attachments[f"{text}.txt"] = b"nothing in here"
    return saved(pdf)


@place
def outline_title(text: str) -> bytes:
    pdf = opened()
    with pdf.open_outline() as outline:
        outline.root.append(pikepdf.OutlineItem(f"Return {text}", 0))
    return saved(pdf)


@place
def layer_name(text: str) -> bytes:
    pdf = opened()
    layer = pdf.make_indirect(Dictionary(Type=Name.OCG, Name=String(f"Layer {text}")))
    pdf.Root.OCProperties = Dictionary(OCGs=[layer], D=Dictionary(Order=[layer]))
    return saved(pdf)


@place
def font_name(text: str) -> bytes:
    pdf = opened()
    font = helvetica(pdf)
    font.BaseFont = Name(f"/ABCDEF+Font{text}")
    pdf.pages[0].Resources.Font["/F9"] = font
    return saved(pdf)


@place
def dictionary_key(text: str) -> bytes:
    pdf = opened()
    pdf.Root["/PieceInfo"] = Dictionary({f"/Key{text}": Dictionary(Private=1)})
    return saved(pdf)


@place
def alternate_text(text: str) -> bytes:
    pdf = opened()
    element = pdf.make_indirect(
        Dictionary(Type=Name.StructElem, S=Name.Figure, Alt=String(f"Card with {text}"))
    )
    pdf.Root.StructTreeRoot = Dictionary(Type=Name.StructTreeRoot, K=element)
    return saved(pdf)


@place
def script(text: str) -> bytes:
    pdf = opened()
    code = String(f"var note = '{text}';")
    pdf.Root.OpenAction = Dictionary(S=Name.JavaScript, JS=code)
    return saved(pdf)


@place
def script_in_a_stream(text: str) -> bytes:
    pdf = opened()
    code = pdf.make_indirect(Stream(pdf, f"var note = '{text}';".encode()))
    pdf.Root.OpenAction = Dictionary(S=Name.JavaScript, JS=code)
    return saved(pdf)
