"""Annotations, form fields and signature values (ISO 32000-2, 12.5, 12.7, 12.8)."""

from collections.abc import Callable
from typing import Any

from pikepdf import Array, Dictionary, Name, String

from packets.proving.copies import Copy
from packets.proving.place import Place
from packets.proving.records import Told

_ANNOTATIONS = "annotations"
_FIELDS = "form fields"

Plant = Callable[[Copy, str], None]


def _annotation(subtype: str, key: str, words: str = "about %s here") -> Plant:
    def plant(copy: Copy, number: str) -> None:
        copy.annotate(Subtype=Name(f"/{subtype}"), **{key: String(words % number)})

    return plant


def _popup(copy: Copy, number: str) -> None:
    popup = copy.annotate(Subtype=Name.Popup, Contents=String(f"see {number}"))
    copy.annotate(Subtype=Name.Text, Popup=popup)


def _captions(copy: Copy, number: str) -> None:
    _field(copy, FT=Name.Btn, MK=Dictionary(CA=String(number)))


def _rich_text(copy: Copy, number: str) -> None:
    body = f"<body xmlns='http://www.w3.org/1999/xhtml'><p>Number {number}</p></body>"
    copy.annotate(Subtype=Name.FreeText, RC=String(body))


def _rich_text_in_pieces(copy: Copy, number: str) -> None:
    body = f"<body><p><b>{number[:4]}</b><i>{number[4:]}</i></p></body>"
    copy.annotate(Subtype=Name.FreeText, RC=String(body))


def _rich_text_by_references(copy: Copy, number: str) -> None:
    coded = "".join(f"&#{ord(char)};" for char in number)
    copy.annotate(Subtype=Name.FreeText, RC=String(f"<body><p>Number {coded}</p></body>"))


def _reply(copy: Copy, number: str) -> None:
    first = copy.annotate(Subtype=Name.Text, Contents=String("Please look"))
    copy.annotate(Subtype=Name.Text, IRT=first, Contents=String(f"It is {number}"))


def _field(copy: Copy, **entries: Any) -> Any:
    """A text field with its widget in one, listed in the form."""
    named = {"T": String("f1_06"), "FT": Name.Tx, **entries}
    field = copy.annotate(Subtype=Name.Widget, **named)
    form = copy.root.get("/AcroForm")
    if form is None:
        form = copy.root["/AcroForm"] = Dictionary(Fields=Array([]))
    fields = form.get("/Fields")
    form.Fields = Array([*(fields if fields is not None else ()), field])
    return field


def _field_key(key: str, words: str = "%s") -> Plant:
    def plant(copy: Copy, number: str) -> None:
        _field(copy, **{key: String(words % number)})

    return plant


def _export_value(copy: Copy, number: str) -> None:
    options = Array([Array([String(number), String("the first")]), String("the second")])
    _field(copy, FT=Name.Ch, Opt=options)


def _state_name(copy: Copy, number: str) -> None:
    _field(copy, FT=Name.Btn, AS=Name(f"/{number}"))


def _over_three_fields(copy: Copy, number: str) -> None:
    for at, part in enumerate((number[:3], number[3:5], number[5:])):
        _field(copy, T=String(f"part_{'abc'[at]}"), V=String(part))


def _one_field_a_digit(copy: Copy, number: str) -> None:
    for at, digit in enumerate(number):
        _field(copy, T=String(f"box_{'abcdefghi'[at]}"), V=String(digit))


def _field_nobody_lists(copy: Copy, number: str) -> None:
    copy.add(Dictionary(FT=Name.Tx, T=String("old"), V=String(number)))
    copy.root["/AcroForm"] = copy.root.get("/AcroForm", Dictionary(Fields=Array([])))
    copy.root.AcroForm["/Calc"] = copy.add(Dictionary(V=String(number)))


def _signature(key: str) -> Plant:
    def plant(copy: Copy, number: str) -> None:
        value = Dictionary(Type=Name.Sig, Filter=Name("/Adobe.PPKLite"))
        value[f"/{key}"] = String(number)
        _field(copy, FT=Name.Sig, V=copy.add(value))

    return plant


def _certificate(copy: Copy, number: str) -> None:
    """Bytes as a signature holds them, with the number in a name of the certificate."""
    inside = b"\x30\x82\x01\x00\x06\x03\x55\x04\x05\x13" + bytes([len(number)]) + number.encode()
    value = Dictionary(Type=Name.Sig, Filter=Name("/Adobe.PPKLite"))
    value.Contents = String(inside + bytes(200))
    _field(copy, FT=Name.Sig, V=copy.add(value))


def _xfa(copy: Copy, number: str) -> None:
    data = (
        f"<xfa:data xmlns:xfa='http://www.xfa.org/schema/xfa-data/1.0/'><n>{number}</n></xfa:data>"
    )
    _field(copy)
    copy.root.AcroForm.XFA = Array([String("datasets"), copy.stream(data.encode())])


def _of_annotations(name: str, plant: Plant, told: Told = Told.UNKNOWN) -> Place:
    return Place(_ANNOTATIONS, name, plant, told, bare=told is Told.KNOWN)


def _of_fields(name: str, plant: Plant, told: Told = Told.UNKNOWN) -> Place:
    return Place(_FIELDS, name, plant, told, bare=told is Told.KNOWN)


_KNOWN = Told.KNOWN
PLACES = (
    _of_annotations("note", _annotation("Text", "Contents")),
    _of_annotations("text box", _annotation("FreeText", "Contents"), _KNOWN),
    _of_annotations("rich text", _rich_text),
    _of_annotations("rich text, number in two pieces", _rich_text_in_pieces, _KNOWN),
    _of_annotations("rich text, as character references", _rich_text_by_references),
    _of_annotations("pop-up", _popup),
    _of_annotations("reply", _reply, _KNOWN),
    _of_annotations("author", _annotation("Highlight", "T")),
    _of_annotations("subject", _annotation("Ink", "Subj"), _KNOWN),
    _of_annotations("name", _annotation("Square", "NM", "id %s"), _KNOWN),
    _of_annotations("default style", _annotation("FreeText", "DS", "font: Arial; n: %s")),
    _of_annotations("text over a redaction", _annotation("Redact", "OverlayText")),
    _of_annotations("caption of a button", _captions),
    _of_fields("value", _field_key("V")),
    _of_fields("value without a label, nine digits", _field_key("V"), _KNOWN),
    _of_fields("default value", _field_key("DV")),
    _of_fields("rich value", _field_key("RV", "<body><p>%s</p></body>")),
    _of_fields("tooltip", _field_key("TU", "number %s")),
    _of_fields("name for export", _field_key("TM", "n_%s"), _KNOWN),
    _of_fields("field name", _field_key("T", "n_%s"), _KNOWN),
    _of_fields("choice", _export_value),
    _of_fields("state of a check box", _state_name, _KNOWN),
    _of_fields("over three fields", _over_three_fields, _KNOWN),
    _of_fields("one field for each digit", _one_field_a_digit, _KNOWN),
    _of_fields("field that no list names", _field_nobody_lists, _KNOWN),
    _of_fields("name of a signer", _signature("Name")),
    _of_fields("reason of a signature", _signature("Reason"), _KNOWN),
    _of_fields("place of a signature", _signature("Location"), _KNOWN),
    _of_fields("contact of a signer", _signature("ContactInfo")),
    _of_fields("certificate of a signature", _certificate, _KNOWN),
    _of_fields("XFA data", _xfa),
)
