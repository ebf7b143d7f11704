"""Broken and hostile forms end in one of our errors or in a flat document, never in a crash."""

import contextlib
import io

import pikepdf
import pytest
from flatten_samples import add_field, annotate, as_bytes, nothing_interactive, sheet
from hypothesis import given, settings
from hypothesis import strategies as st
from pikepdf import Array, Dictionary, Name, String

from packets.base.errors import Damaged, InputRefused, Locked, PacketsError
from packets.masking.flatten import flatten

JUNK = {
    "nothing": None,
    "name": Name.Junk,
    "text": String("junk"),
    "number": -7,
    "list": Array([Name.A, 3, Array([])]),
    "table": Dictionary(N=Dictionary(A=Array([]))),
    "yes": True,
}


KEYS = (
    *("Subtype", "FT", "F", "V", "AP", "AS", "MK", "DA", "Q", "Ff"),
    *("MaxLen", "Opt", "Rect", "Parent", "OC", "Kids", "T"),
)


@given(keys=st.dictionaries(st.sampled_from(KEYS), st.sampled_from(sorted(JUNK)), max_size=4))
@settings(max_examples=60, deadline=None)
def test_a_mistyped_field_is_flattened_or_refused(keys: dict[str, str]) -> None:
    document = sheet()
    add_field(document, "value", **{key: JUNK[junk] for key, junk in keys.items()})
    with contextlib.suppress(PacketsError):
        assert nothing_interactive(flatten(as_bytes(document)).pdf)


@pytest.mark.parametrize("key", ["AcroForm", "OCProperties"])
@pytest.mark.parametrize("junk", sorted(set(JUNK) - {"nothing"}))
def test_a_mistyped_catalog_is_no_crash(key: str, junk: str) -> None:
    document = sheet()
    add_field(document, "value")
    document.Root["/" + key] = JUNK[junk]
    assert nothing_interactive(flatten(as_bytes(document)).pdf)


def test_mistyped_layer_settings_are_no_crash() -> None:
    document = sheet(b"/OC /L BDC /OC BDC EMC EMC EMC")
    document.Root.OCProperties = Dictionary(
        OCGs=Array([3, String("x")]), D=Dictionary(OFF=Array([Name.A]), ON=3, AS=Array([1]))
    )
    assert nothing_interactive(flatten(as_bytes(document)).pdf)


def test_circles_end() -> None:
    document = sheet()
    parent = document.make_indirect(Dictionary(T=String("a")))
    child = add_field(document, "value", Parent=parent)
    parent.Parent, parent.Kids = child, Array([parent, child])
    annotate(document, Subtype=Name.Popup, Parent=child)
    assert nothing_interactive(flatten(as_bytes(document)).pdf)


def test_a_page_without_contents_or_resources_is_no_crash() -> None:
    document = sheet()
    add_field(document, "value")
    document.Root.OCProperties = Dictionary()
    for key in ("/Contents", "/Resources"):
        if key in document.pages[0].obj:
            del document.pages[0].obj[key]
    assert nothing_interactive(flatten(as_bytes(document)).pdf)


def test_annotations_that_are_none_are_passed_over() -> None:
    document = sheet()
    document.pages[0].obj.Annots = Array([3, String("x"), Array([])])
    assert nothing_interactive(flatten(as_bytes(document)).pdf)


def test_a_form_that_exists_only_as_xfa_is_refused() -> None:
    document = sheet()
    document.Root.NeedsRendering = True
    with pytest.raises(InputRefused, match="only as XFA"):
        flatten(as_bytes(document))


def test_what_is_not_a_pdf_is_damaged() -> None:
    with pytest.raises(Damaged):
        flatten(b"%PDF-1.7 and no more")


def test_a_document_with_a_password_is_locked() -> None:
    out = io.BytesIO()
    sheet().save(out, encryption=pikepdf.Encryption(user="a", owner="b"))
    with pytest.raises(Locked):
        flatten(out.getvalue())


def test_notes_and_reprs_hold_no_value() -> None:
    document = sheet()
    add_field(document, "000-12-3456", F=2)
    add_field(document, "000-12-3456", FT=Name.Ch)
    done = flatten(as_bytes(document))
    assert "3456" not in str(done.notes)
