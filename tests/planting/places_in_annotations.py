"""A number in annotations of every kind, in their actions, and in the fields of forms."""

import functools
from collections.abc import Callable

from hiding_places import family
from pikepdf import Array, Dictionary, Name, Object, Pdf, String
from plain_page import DIGITS, N, document_with
from planted_pages import NUMBER, as_bytes, form, standard_font

RECT = [100, 200, 160, 220]
OF_EACH_KIND: dict[str, dict[str, object]] = {
    "Text": {"Contents": NUMBER},
    "Link": {"A": Dictionary(S=Name.URI, URI=String(f"https://example.org/?n={DIGITS}"))},
    "FreeText": {"RC": f"<body><p>{NUMBER}</p></body>", "DS": NUMBER, "DA": "/Helv 9 Tf"},
    "Line": {"Contents": NUMBER, "L": Array([1, 2, 3, 4])},
    "Square": {"Subj": NUMBER},
    "Circle": {"T": NUMBER},
    "Polygon": {"NM": NUMBER, "Vertices": Array([1, 2, 3, 4])},
    "PolyLine": {"Contents": NUMBER, "Vertices": Array([1, 2, 3, 4])},
    "Highlight": {"Contents": NUMBER, "QuadPoints": Array([0, 9, 9, 9, 0, 0, 9, 0])},
    "Underline": {"Contents": NUMBER, "QuadPoints": Array([0, 9, 9, 9, 0, 0, 9, 0])},
    "Squiggly": {"Contents": NUMBER, "QuadPoints": Array([0, 9, 9, 9, 0, 0, 9, 0])},
    "StrikeOut": {"Contents": NUMBER, "QuadPoints": Array([0, 9, 9, 9, 0, 0, 9, 0])},
    "Caret": {"Contents": NUMBER},
    "Stamp": {"Name": Name(f"/S{DIGITS}"), "Contents": NUMBER},
    "Ink": {"Contents": NUMBER, "InkList": Array([Array([1, 2, 3, 4])])},
    "Popup": {"Contents": NUMBER},
    "FileAttachment": {"FS": Dictionary(Type=Name.Filespec, F=String(NUMBER))},
    "Sound": {"Contents": NUMBER},
    "Movie": {"T": NUMBER, "Movie": Dictionary(F=String(NUMBER))},
    "Screen": {"MK": Dictionary(CA=String(NUMBER))},
    "PrinterMark": {"MN": Name(f"/M{DIGITS}")},
    "Watermark": {"Contents": NUMBER},
    "3D": {"3DV": Dictionary(XN=String(NUMBER))},
    "RichMedia": {"RichMediaContent": Dictionary(Note=String(NUMBER))},
    "Projection": {"Contents": NUMBER},
    "Redact": {"OverlayText": NUMBER, "DA": "/Helv 9 Tf"},
    "Unheard": {"Contents": NUMBER},
}


def annotation(kind: str, keys: dict[str, object], flags: int = 0) -> bytes:
    document = document_with()
    note = Dictionary(Type=Name.Annot, Subtype=Name(f"/{kind}"), Rect=Array(RECT), F=flags)
    for key, value in keys.items():
        note[f"/{key}"] = String(value) if isinstance(value, str) else value
    document.pages[0].obj.Annots = Array([document.make_indirect(note)])
    return as_bytes(document)


def reply(document: Pdf) -> None:
    first = document.make_indirect(
        Dictionary(Type=Name.Annot, Subtype=Name.Text, Rect=Array(RECT), F=2)
    )
    answer = Dictionary(
        Type=Name.Annot, Subtype=Name.Text, Rect=Array(RECT), F=2, IRT=first, State=String(NUMBER)
    )
    document.pages[0].obj.Annots = Array([first, document.make_indirect(answer)])


def other_looks(document: Pdf) -> None:
    """Appearances that show only under the pointer, and in a state that is not set."""
    looks = Dictionary(
        N=Dictionary(Off=form(b"")(document), On=words(document)), R=words(document),
        D=words(document),
    )  # fmt: skip
    note = Dictionary(
        Type=Name.Annot, Subtype=Name.Stamp, Rect=Array(RECT), F=4, AP=looks, AS=Name.Off
    )
    document.pages[0].obj.Annots = Array([document.make_indirect(note)])


def words(document: Pdf) -> Object:
    return document.make_indirect(form(b"BT /F1 9 Tf 5 5 Td (" + N + b") Tj ET")(document))


def field(document: Pdf, **keys: object) -> Object:
    entries = {
        "FT": Name.Tx, "T": String("f"), "Rect": Array(RECT), "F": 2,
        "DA": String("/Helv 9 Tf 0 g"), **keys,
    }  # fmt: skip
    made = document.make_indirect(Dictionary(Type=Name.Annot, Subtype=Name.Widget, **entries))
    document.pages[0].obj.Annots = Array([made])
    document.Root.AcroForm = Dictionary(
        Fields=Array([made]), DR=Dictionary(Font=Dictionary(Helv=standard_font(document)))
    )
    return made


def script(text: str) -> Dictionary:
    return Dictionary(S=Name.JavaScript, JS=String(f"var n = '{text}'"))


FIELDS: dict[str, Callable[[Pdf], object]] = {
    "value": lambda d: field(d, V=String(NUMBER)),
    "value in a stream": lambda d: field(d, V=d.make_stream(N)),
    "value to fall back on": lambda d: field(d, DV=String(NUMBER)),
    "rich value": lambda d: field(d, Ff=1 << 25, RV=String(f"<p>{NUMBER}</p>")),
    "password": lambda d: field(d, Ff=1 << 13, V=String(NUMBER)),
    "appearance": lambda d: field(d, AP=Dictionary(N=words(d))),
    "captions": lambda d: field(
        d, FT=Name.Btn, Ff=1 << 16, MK=Dictionary(CA=String(NUMBER), RC=String(NUMBER),
                                                  AC=String(NUMBER))),
    "tooltip": lambda d: field(d, TU=String(NUMBER)),
    "name for mapping": lambda d: field(d, TM=String(NUMBER)),
    "name": lambda d: field(d, T=String(f"f{DIGITS}")),
    "choices": lambda d: field(
        d, FT=Name.Ch, Opt=Array([Array([String(NUMBER), String("one")])]), V=String("x")),
    "state of a box": lambda d: field(
        d, FT=Name.Btn, AS=Name.Off, AP=Dictionary(N=Dictionary({f"/N{DIGITS}": words(d)}))),
    "kids": lambda d: field(d, Kids=Array([d.make_indirect(Dictionary(V=String(NUMBER)))])),
    "default appearance": lambda d: field(d, DA=String(f"/Helv 9 Tf % {NUMBER}")),
    "script of its keys": lambda d: field(d, AA=Dictionary(K=script(NUMBER), C=script(NUMBER))),
    "data beside the form (XFA)": lambda d: with_form(d, XFA=Array(
        [String("datasets"), d.make_stream(b"<xfa:data><n>" + N + b"</n></xfa:data>")])),
    "template beside the form (XFA)": lambda d: with_form(d, XFA=d.make_stream(
        b"<template><text>" + N + b"</text></template>")),
}  # fmt: skip


def with_form(document: Pdf, **keys: object) -> None:
    field(document)
    for key, value in keys.items():
        document.Root.AcroForm[f"/{key}"] = value


def shown_field(value: bytes, **keys: object) -> bytes:
    document = document_with()
    made = field(document, F=4, V=String(value), **keys)
    made.Rect = Array([100, 200, 300, 220])
    return as_bytes(document)


SHOWN = {
    "value without appearance": functools.partial(shown_field, N),
    "value in a comb": functools.partial(shown_field, DIGITS.encode(), Ff=1 << 24, MaxLen=9),
    "value that is chosen": functools.partial(
        shown_field, N, FT=Name.Ch, Ff=1 << 17, Opt=Array([String(NUMBER)])
    ),
}

ACTIONS: dict[str, object] = {
    "a script": script(NUMBER),
    "a link": Dictionary(S=Name.URI, URI=String(f"mailto:{NUMBER}@example.org")),
    "another file": Dictionary(S=Name.GoToR, F=String(NUMBER), D=String(NUMBER)),
    "an attached file": Dictionary(S=Name.GoToE, T=Dictionary(R=Name.C, N=String(NUMBER))),
    "a program": Dictionary(S=Name.Launch, F=String("a"), Win=Dictionary(P=String(NUMBER))),
    "sending the form": Dictionary(S=Name.SubmitForm, F=String(f"https://example.org/{DIGITS}")),
    "reading data": Dictionary(S=Name.ImportData, F=String(NUMBER)),
    "hiding a field": Dictionary(S=Name.Hide, T=String(NUMBER)),
    "an article": Dictionary(S=Name.Thread, D=String(NUMBER)),
    "a name of a command": Dictionary(S=Name.Named, N=Name(f"/N{DIGITS}")),
    "media": Dictionary(S=Name.Rendition, JS=String(NUMBER), R=Dictionary(N=String(NUMBER))),
    "one after another": Dictionary(S=Name.Named, N=Name.NextPage, Next=script(NUMBER)),
}


def on_opening(action: object) -> bytes:
    document = document_with()
    document.Root.OpenAction = action
    return as_bytes(document)


def of_the_page(document: Pdf) -> None:
    document.pages[0].obj.AA = Dictionary(O=script(NUMBER), C=script(NUMBER))


def of_the_document(document: Pdf) -> None:
    document.Root.AA = Dictionary(WP=script(NUMBER))


def by_name(document: Pdf) -> None:
    named = Array([String("n"), document.make_indirect(script(NUMBER))])
    document.Root.Names = Dictionary(JavaScript=Dictionary(Names=named))


def base_of_links(document: Pdf) -> None:
    document.Root.URI = Dictionary(Base=String(f"https://example.org/{DIGITS}/"))


def planted(plant: Callable[[Pdf], object]) -> bytes:
    document = document_with()
    plant(document)
    return as_bytes(document)


def makers(plants: dict[str, Callable[[Pdf], object]]) -> dict[str, object]:
    return {name: functools.partial(planted, plant) for name, plant in plants.items()}


PLACES = {
    **family(
        "annotation",
        {kind: functools.partial(annotation, kind, keys) for kind, keys in OF_EACH_KIND.items()},
        told_by="objects",
        alike=False,  # what is seen on the screen alone is not printed, and does not come along
    ),
    **family(
        "annotation",
        makers({"answer to another": reply, "looks that do not show": other_looks}),
        told_by="objects",
    ),
    **family("field", makers(FIELDS), told_by="objects"),
    **family("field that shows its", SHOWN, told_by="objects", known=False, alike=False),
    **family(
        "action",
        {name: functools.partial(on_opening, action) for name, action in ACTIONS.items()},
        told_by="objects",
    ),
    **family(
        "action",
        makers(
            {
                "of the page": of_the_page,
                "of the document": of_the_document,
                "by its name": by_name,
                "the base of all links": base_of_links,
            }
        ),
        told_by="objects",
    ),
}
