"""Text in content that a page reaches by detours (ISO 32000-2, 8.7, 8.10, 9.6.4, 11.6.5)."""

from typing import Any

from pikepdf import Array, Dictionary, Name

from packets.proving.copies import Copy
from packets.proving.glyph_pictures import stencil_procedures
from packets.proving.place import Place
from packets.proving.records import Told
from packets.proving.shown_text import coded, coded_font, literal

_FAMILY = "nested content"


def shape_form(copy: Copy, content: bytes, **resources: Any) -> Any:
    """A form XObject with a Helvetica called /F1."""
    fonts = Dictionary(F1=copy.helvetica())
    return copy.stream(
        content,
        Type=Name.XObject,
        Subtype=Name.Form,
        BBox=Array([0, 0, 300, 60]),
        Resources=Dictionary(Font=fonts, **resources),
    )


def _text(number: str) -> bytes:
    return b"BT /F1 10 Tf 10 10 Td " + literal(number) + b" Tj ET"


def _form(copy: Copy, number: str) -> None:
    copy.show(copy.resource("XObject", shape_form(copy, _text(number))).encode() + b" Do")


def _form_in_forms(copy: Copy, number: str) -> None:
    inner = shape_form(copy, _text(number))
    for _ in range(4):
        inner = shape_form(copy, b"/X1 Do", XObject=Dictionary(X1=inner))
    copy.show(copy.resource("XObject", inner).encode() + b" Do")


def _form_in_pieces(copy: Copy, number: str) -> None:
    """The number is begun in one form and ended in the next."""
    for at, part in enumerate((number[:4], number[4:])):
        form = shape_form(copy, b"BT /F1 10 Tf 0 10 Td " + literal(part) + b" Tj ET")
        name = copy.resource("XObject", form).encode()
        copy.show(b"q 1 0 0 1 %.2f 0 cm " % (10 + 22.24 * at) + name + b" Do Q")


def _form_never_drawn(copy: Copy, number: str) -> None:
    copy.resource("XObject", shape_form(copy, _text(number)))


def _codes_never_drawn(copy: Copy, number: str) -> None:
    form = shape_form(copy, b"BT /F2 10 Tf 10 10 Td <" + coded(number) + b"> Tj ET")
    form.Resources.Font.F2 = coded_font(copy)
    copy.resource("XObject", form)


def _transparency_group(copy: Copy, number: str) -> None:
    form = shape_form(copy, _text(number))
    form.Group = Dictionary(S=Name.Transparency, I=True)
    copy.show(copy.resource("XObject", form).encode() + b" Do")


def _soft_mask(copy: Copy, number: str) -> None:
    form = shape_form(copy, b"1 g " + _text(number))
    form.Group = Dictionary(S=Name.Transparency, CS=Name.DeviceGray)
    mask = Dictionary(Type=Name.Mask, S=Name.Luminosity, G=form)
    state = copy.resource("ExtGState", Dictionary(Type=Name.ExtGState, SMask=mask))
    copy.show(state.encode() + b" gs 0 g 0 0 300 60 re f")


def _tiling_pattern(copy: Copy, number: str) -> None:
    pattern = copy.stream(
        _text(number),
        Type=Name.Pattern,
        PatternType=1,
        PaintType=1,
        TilingType=1,
        BBox=Array([0, 0, 200, 40]),
        XStep=200,
        YStep=40,
        Resources=Dictionary(Font=Dictionary(F1=copy.helvetica())),
    )
    name = copy.resource("Pattern", pattern).encode()
    copy.show(b"/Pattern cs " + name + b" scn 0 0 200 40 re f")


def _type3(copy: Copy, procedures: dict[str, Any], widths: int, **more: Any) -> str:
    font = Dictionary(
        Type=Name.Font,
        Subtype=Name.Type3,
        FontBBox=[0, 0, 1000, 1333],
        FontMatrix=[0.001, 0, 0, 0.001, 0, 0],
        CharProcs=Dictionary(procedures),
        Encoding=Dictionary(
            Type=Name.Encoding, Differences=Array([0, *(Name(name) for name in procedures)])
        ),
        FirstChar=0,
        LastChar=len(procedures) - 1,
        Widths=[widths] * len(procedures),
        **more,
    )
    return copy.resource("Font", copy.add(font))


def _text_in_a_glyph(copy: Copy, number: str) -> None:
    """One glyph of a Type 3 font shows the whole number with another font."""
    content = b"5000 0 d0 BT /F1 900 Tf 0 0 Td " + literal(number) + b" Tj ET"
    resources = Dictionary(Font=Dictionary(F1=copy.helvetica()))
    font = _type3(copy, {"/g0": copy.stream(content)}, 5000, Resources=resources)
    copy.write(b"<00> Tj", font=font)


def _drawn_glyphs(copy: Copy, number: str) -> None:
    """A Type 3 font whose codes say nothing: each letter is a small stencil."""
    procedures = {name: copy.stream(data) for name, data in stencil_procedures(number).items()}
    font = _type3(copy, procedures, 400)
    codes = bytes(range(len(number))).hex().encode()
    copy.show(b"BT " + font.encode() + b" 30 Tf 10 40 Td <" + codes + b"> Tj ET")


def _appearance(copy: Copy, number: str) -> None:
    form = shape_form(copy, _text(number))
    copy.annotate(Subtype=Name.Stamp, AP=Dictionary(N=form))


def _appearance_under_the_pointer(copy: Copy, number: str) -> None:
    blank = shape_form(copy, b"")
    form = shape_form(copy, _text(number))
    copy.annotate(Subtype=Name.Stamp, AP=Dictionary(N=blank, D=form, R=form))


_KNOWN = Told.KNOWN
PLACES = (
    Place(_FAMILY, "form", _form),
    Place(_FAMILY, "form within forms", _form_in_forms, _KNOWN, bare=True),
    Place(_FAMILY, "begun in one form, ended in another", _form_in_pieces, _KNOWN),
    Place(_FAMILY, "form that nothing draws", _form_never_drawn),
    Place(_FAMILY, "font codes in a form that nothing draws", _codes_never_drawn),
    Place(_FAMILY, "transparency group", _transparency_group, _KNOWN, bare=True),
    Place(_FAMILY, "soft mask", _soft_mask, _KNOWN, bare=True),
    Place(_FAMILY, "tiling pattern", _tiling_pattern),
    Place(_FAMILY, "text inside a glyph procedure", _text_in_a_glyph, _KNOWN, bare=True),
    Place(_FAMILY, "glyphs that only their drawing tells", _drawn_glyphs, _KNOWN),
    Place(_FAMILY, "appearance of an annotation", _appearance),
    Place(
        _FAMILY, "appearance under the pointer", _appearance_under_the_pointer, _KNOWN, bare=True
    ),
)
