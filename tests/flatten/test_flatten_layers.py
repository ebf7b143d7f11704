"""Layers: content of one that is off when printed is taken out, not hidden."""

import io
from typing import Any

import pikepdf
import pytest
from flatten_samples import add_field, as_bytes, look, picture, sheet, text_in
from pikepdf import Array, Dictionary, Name, String

from packets.masking.flatten import flatten

LINE = b"BT /F 12 Tf 1 0 0 1 50 %d Tm (%s) Tj ET "
HIDDEN = (
    b"/OC /L0 BDC " + LINE % (300, b"000-12-3456") + b"/Span <</ActualText (3456)>> BDC EMC EMC "
)
SHOWN = b"/OC /L1 BDC " + LINE % (200, b"stays") + b"EMC "


def layered(content: bytes, default: dict[str, Any] | None = None, **first: Any) -> pikepdf.Pdf:
    """A page with two layers, L0 and L1; L0 is off unless `default` says otherwise."""
    document = sheet(content)
    groups = [
        document.make_indirect(Dictionary(Type=Name.OCG, Name=String(f"layer {n}"), **keys))
        for n, keys in enumerate((first, {}))
    ]
    document.pages[0].obj.Resources = Dictionary(
        Font=Dictionary(F=document.Root.AcroForm.DR.Font.Helv),
        Properties=Dictionary(L0=groups[0], L1=groups[1]),
    )
    settings = {"OFF": Array([groups[0]])} if default is None else default
    document.Root.OCProperties = Dictionary(OCGs=Array(groups), D=Dictionary(**settings))
    return document


def whole_content(pdf: bytes) -> str:
    with pikepdf.open(io.BytesIO(pdf)) as document:
        return "".join(
            repr(item) + (str(item.read_bytes()) if isinstance(item, pikepdf.Stream) else "")
            for item in document.objects
        )


def test_content_of_a_layer_that_is_off_is_gone_from_the_file() -> None:
    done = flatten(as_bytes(layered(HIDDEN + SHOWN)))
    assert text_in(done.pdf) == "stays"
    everything = whole_content(done.pdf)
    assert "3456" not in everything
    assert "OCProperties" not in everything
    assert "layers that are off" in done.notes[0]


def test_content_of_a_layer_that_is_on_stays() -> None:
    done = flatten(as_bytes(layered(HIDDEN + SHOWN, default={})))
    assert text_in(done.pdf) == "000-12-3456stays"
    assert done.notes == ()


def test_all_layers_may_be_off_but_one() -> None:
    document = layered(HIDDEN + SHOWN, default={})
    groups = document.Root.OCProperties.OCGs
    document.Root.OCProperties.D = Dictionary(BaseState=Name.OFF, ON=Array([groups[1]]))
    assert text_in(flatten(as_bytes(document)).pdf) == "stays"


@pytest.mark.parametrize(("state", "gone"), [("/OFF", True), ("/ON", False)])
def test_what_a_layer_says_about_print_decides(state: str, gone: bool) -> None:
    usage = Dictionary(Print=Dictionary(PrintState=Name(state)))
    document = layered(HIDDEN + SHOWN, Usage=usage)
    groups = document.Root.OCProperties.OCGs
    event = Dictionary(Event=Name.Print, Category=Array([Name.Print]), OCGs=groups)
    document.Root.OCProperties.D.AS = Array([event])
    assert ("3456" not in whole_content(flatten(as_bytes(document)).pdf)) is gone


@pytest.mark.parametrize(
    ("policy", "shown"),
    [("AnyOn", True), ("AllOn", False), ("AnyOff", True), ("AllOff", False)],
)
def test_a_membership_follows_its_policy(policy: str, shown: bool) -> None:
    document = layered(b"/OC /M BDC " + LINE % (300, b"member") + b"EMC")
    groups = document.Root.OCProperties.OCGs
    document.pages[0].obj.Resources.Properties.M = Dictionary(
        Type=Name.OCMD, OCGs=groups, P=Name("/" + policy)
    )
    assert (text_in(flatten(as_bytes(document)).pdf) == "member") is shown


@pytest.mark.parametrize(("operator", "shown"), [("And", False), ("Or", True), ("Not", True)])
def test_a_visibility_expression_is_worked_out(operator: str, shown: bool) -> None:
    document = layered(b"/OC /M BDC " + LINE % (300, b"member") + b"EMC")
    off, on = document.Root.OCProperties.OCGs
    parts = [off] if operator == "Not" else [off, Array([Name.And, on])]
    document.pages[0].obj.Resources.Properties.M = Dictionary(
        Type=Name.OCMD, VE=Array([Name("/" + operator), *parts])
    )
    assert (text_in(flatten(as_bytes(document)).pdf) == "member") is shown


def test_the_state_set_in_a_hidden_layer_still_holds_after_it() -> None:
    content = (
        b"/OC /L0 BDC 1 0 0 1 0 50 cm 1 0 0 rg 0 0 20 20 re f EMC 100 100 30 30 re f "
        b"/OC /L0 BDC (x) ' 1 2 (y) \" BI /W 1 /H 1 /BPC 8 /CS /G ID 0 EI /X Do EMC"
    )
    source = as_bytes(layered(content))
    flat = flatten(source).pdf
    assert picture(source).tobytes() == picture(flat).tobytes()
    assert picture(flat).getextrema()[0] < 255


def test_a_form_in_a_layer_that_is_off_is_gone() -> None:
    document = layered(b"/X Do /Y Do")
    off, on = document.Root.OCProperties.OCGs
    names = Dictionary()
    for name, layer, text in (("X", off, b"000-12-3456"), ("Y", on, b"stays")):
        drawn = look(document, b"BT /Helv 12 Tf 9 9 Td (%s) Tj ET" % text)
        drawn.OC = layer
        names["/" + name] = drawn
    document.pages[0].obj.Resources.XObject = names
    flat = flatten(as_bytes(document)).pdf
    assert text_in(flat) == "stays"
    assert "3456" not in whole_content(flat)


def test_a_layer_inside_a_form_is_taken_out_too() -> None:
    document = layered(b"/X Do")
    inner = look(document, HIDDEN + SHOWN, (0, 0, 400, 400))
    inner.Resources = document.pages[0].obj.Resources
    document.pages[0].obj.Resources.XObject = Dictionary(X=inner)
    flat = flatten(as_bytes(document)).pdf
    assert text_in(flat) == "stays"
    assert "3456" not in whole_content(flat)


def test_a_field_on_a_layer_that_is_off_is_gone() -> None:
    document = layered(b"")
    add_field(document, "000-12-3456", OC=document.Root.OCProperties.OCGs[0])
    assert "3456" not in whole_content(flatten(as_bytes(document)).pdf)
