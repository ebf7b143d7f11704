"""Annotations: what prints stays as content, everything else is gone."""

import io

import pikepdf
import pytest
from flatten_samples import (
    PLACE,
    add_field,
    annotate,
    as_bytes,
    dark_in,
    nothing_interactive,
    picture,
    sheet,
    text_in,
    words,
)
from pikepdf import Array, Dictionary, Name, String

from packets.masking.flatten import flatten

QUAD = Array([50, 330, 250, 330, 50, 300, 250, 300])
HIDDEN, PRINT, NO_VIEW = 2, 4, 32


@pytest.mark.parametrize(
    ("flags", "stays"),
    [
        (PRINT, True),
        (PRINT | 1, True),
        (PRINT | NO_VIEW, True),
        (HIDDEN, False),
        (HIDDEN | PRINT, False),
        (NO_VIEW, False),
        (0, False),
        (None, True),
    ],
)
def test_what_a_person_sees_on_paper_is_what_stays(flags: int | None, stays: bool) -> None:
    document = sheet()
    add_field(document, "value", F=flags)
    done = flatten(as_bytes(document))
    assert (text_in(done.pdf) == "value") is stays
    assert bool(done.notes) is not stays


def test_a_remark_that_does_not_print_is_gone_from_the_file() -> None:
    document = sheet()
    annotate(document, Subtype=Name.FreeText, F=None, Contents=String("call 000-12-3456"))
    done = flatten(as_bytes(document))
    assert text_in(done.pdf) == ""
    with pikepdf.open(io.BytesIO(done.pdf)) as result:
        assert all("3456" not in repr(item) for item in result.objects)


def test_typed_remarks_without_an_appearance_are_drawn() -> None:
    document = sheet()
    annotate(
        document,
        Subtype=Name.FreeText,
        Contents=String("000-12-3456"),
        DA=String("0 g /Helv 12 Tf"),
    )
    flat = flatten(as_bytes(document)).pdf
    assert text_in(flat) == "000-12-3456"
    assert nothing_interactive(flat)


@pytest.mark.parametrize(
    "keys",
    [
        {"Subtype": Name.Highlight, "QuadPoints": QUAD, "C": Array([0, 0, 0])},
        {"Subtype": Name.Underline, "QuadPoints": QUAD, "C": Array([0, 0, 0])},
        {"Subtype": Name.StrikeOut, "QuadPoints": QUAD, "C": Array([0, 0, 0])},
        {"Subtype": Name.Square, "C": Array([0, 0, 0])},
        {"Subtype": Name.Line, "L": Array([50, 300, 250, 330]), "C": Array([0, 0, 0])},
        {"Subtype": Name.Ink, "InkList": Array([Array([50, 300, 250, 330])]), "C": Array([0])},
        {"Subtype": Name.Stamp, "Name": Name.Approved},
    ],
    ids=lambda keys: str(keys["Subtype"])[1:],
)
def test_marks_without_an_appearance_are_drawn(keys: dict[str, object]) -> None:
    document = sheet()
    annotate(document, **keys)
    flat = flatten(as_bytes(document)).pdf
    assert dark_in(flat, PLACE) > 50
    assert nothing_interactive(flat)


@pytest.mark.parametrize("subtype", ["Link", "Popup", "FileAttachment", "Movie", "Screen"])
def test_links_popups_and_attachments_vanish(subtype: str) -> None:
    document = sheet()
    annotate(
        document,
        Subtype=Name("/" + subtype),
        Border=Array([0, 0, 3]),
        Contents=String("000-12-3456"),
        AP=Dictionary(N=words(document, b"seen")),
    )
    flat = flatten(as_bytes(document)).pdf
    assert picture(flat).getextrema() == (255, 255)
    assert nothing_interactive(flat)
    with pikepdf.open(io.BytesIO(flat)) as result:
        assert all("3456" not in repr(item) for item in result.objects)


def test_a_page_that_leaves_its_state_open_moves_no_annotation() -> None:
    for content in (b"0.2 0 0 0.2 0 0 cm", b"q q 0.2 0 0 0.2 0 0 cm", b"Q Q 9 0 0 9 0 0 cm q"):
        document = sheet(content)
        add_field(document, "000-12-3456")
        flat = flatten(as_bytes(document)).pdf
        assert text_in(flat, PLACE) == "000-12-3456"


def test_a_document_without_anything_comes_back_as_it_came() -> None:
    document = sheet(b"0 g 10 10 50 50 re f", pages=100)
    for page in document.pages:
        del page.obj["/Annots"]
    del document.Root["/AcroForm"]
    source = as_bytes(document)
    assert flatten(source).pdf is source


def test_flattening_twice_changes_nothing_more() -> None:
    document = sheet()
    add_field(document, "value")
    once = flatten(as_bytes(document)).pdf
    assert flatten(once).pdf is once


def test_the_same_form_gives_the_same_bytes() -> None:
    document = sheet()
    add_field(document, "value")
    annotate(document, Subtype=Name.Stamp, Name=Name.Approved)
    source = as_bytes(document)
    assert flatten(source).pdf == flatten(source).pdf
