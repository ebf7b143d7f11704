"""Pages that draw too much are refused, by whatever means they draw."""

import io

import pikepdf
import pytest
from pikepdf import Array, Dictionary, Name, Object, Pdf

from packets.base.errors import OverLimit
from packets.masking.drawing_bombs import refuse_drawing_bombs


def _form(document: Pdf, content: bytes, resources: Dictionary) -> Object:
    return document.make_stream(
        content,
        Type=Name.XObject,
        Subtype=Name.Form,
        BBox=Array([0, 0, 9, 9]),
        Resources=resources,
    )


def _nested(document: Pdf, depth: int, twice: bytes, named: str) -> Object:
    """A drawing that draws another one twice, and so on."""
    inner = _form(document, b"0 0 9 9 re f", Dictionary())
    for _ in range(depth):
        inner = _form(document, twice, _resources(inner, named))
    return inner


def _resources(drawing: Object, named: str) -> Dictionary:
    if named == "/ExtGState":
        return Dictionary(ExtGState=Dictionary(D=Dictionary(SMask=Dictionary(G=drawing))))
    return Dictionary({named: Dictionary(D=drawing)})


def _document(twice: bytes, named: str, depth: int) -> bytes:
    document = pikepdf.new()
    page = document.add_blank_page().obj
    page.Contents = document.make_stream(twice)
    page.Resources = _resources(_nested(document, depth, twice, named), named)
    file = io.BytesIO()
    document.save(file)
    return file.getvalue()


WAYS = {
    "forms": (b"/D Do /D Do", "/XObject"),
    "patterns": (b"/D scn 0 0 9 9 re f /D SCN", "/Pattern"),
    "soft masks": (b"/D gs /D gs", "/ExtGState"),
}


@pytest.mark.parametrize(("twice", "named"), WAYS.values(), ids=WAYS.keys())
def test_drawings_that_double_are_refused(twice, named):
    refuse_drawing_bombs(_document(twice, named, 3))
    with pytest.raises(OverLimit):
        refuse_drawing_bombs(_document(twice, named, 18))


def test_a_page_that_names_no_drawing_is_not_even_read():
    document = pikepdf.new()
    page = document.add_blank_page().obj
    page.Contents = document.make_stream(b"BT /F1 9 Tf (a) Tj ET")
    page.Resources = Dictionary(
        XObject=Dictionary(I=document.make_stream(b"x", Subtype=Name.Image, Width=1, Height=1)),
        ExtGState=Dictionary(G=Dictionary(SMask=Name("/None")), H=Dictionary(ca=1)),
    )
    file = io.BytesIO()
    document.save(file)
    refuse_drawing_bombs(file.getvalue())
