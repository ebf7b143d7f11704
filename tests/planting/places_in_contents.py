"""What a content stream and its resources carry unseen."""

import functools
from collections.abc import Callable

from hiding_places import family
from pikepdf import Array, Dictionary, Name, Object, Pdf, String
from PIL import ImageCms
from plain_page import DIGITS, TEXT, N, document_with
from planted_fonts import THREE_CODES, to_unicode, true_type_program, type_three
from planted_pages import NUMBER, as_bytes, form

CONTENTS = {
    "a comment": b"% " + N + b"\n" + TEXT,
    "a comment at the end": TEXT + b" % " + N,
    "marked content with a list": b"/Span <</ActualText (" + N + b") /MCID 1>> BDC " + TEXT
    + b" EMC",
    "marked content with a nested list": b"/P <</A [<</V (" + N + b")>>]>> BDC " + TEXT + b" EMC",
    "a marked point": b"/P <</E (" + N + b")>> DP " + TEXT,
    "a mark's tag": b"/T" + DIGITS.encode() + b" BMC " + TEXT + b" EMC",
    "an unknown operator between BX and EX": b"BX (" + N + b") nosuch EX " + TEXT,
    "an unknown operator": b"(" + N + b") nosuch " + TEXT,
    "operands without an operator": TEXT + b" (" + N + b")",
    "too many operands": TEXT.replace(b"50 300 Td", b"(" + N + b") 50 300 Td"),
    "a rendering intent": b"/I" + DIGITS.encode() + b" ri " + TEXT,
    "a name never defined": b"/G" + DIGITS.encode() + b" gs " + TEXT,
    "a string shown outside of text, in no font": b"(" + N + b") Tj " + TEXT,
    "a key of an inline picture": b"q 9 0 0 9 9 9 cm BI /W 4 /H 4 /BPC 8 /CS /G /Note (" + N
    + b") ID " + bytes(range(140, 156)) + b" EI Q " + TEXT,
    "samples that an inline picture has too many of": b"q 9 0 0 9 9 9 cm BI /W 4 /H 4 /BPC 8 "
    b"/CS /G ID " + bytes(range(140, 156)) + b" " + N + b" EI Q " + TEXT,
}  # fmt: skip

OPERANDS = {
    "a coordinate": b"987654320 987654320 m 987654320 987654321 l S " + TEXT,
    "the decimals of a coordinate": b"0.987654320 w " + TEXT,
    "a line width": b"q 987654320 w Q " + TEXT,
    "a dash": b"[987654320] 0 d " + TEXT,
}
"""What draws stays as it is: these hold the packet."""


def properties(d: Pdf) -> None:
    d.pages[0].obj.Resources.Properties = Dictionary(M=Dictionary(ActualText=String(NUMBER)))
    d.pages[0].obj.Contents = d.make_stream(b"/Span /M BDC " + TEXT + b" EMC")


def unused_resources(d: Pdf) -> None:
    unused = form(TEXT.replace(b"plain words", N))(d)
    d.pages[0].obj.Resources.XObject = Dictionary(Un=unused)


def keys_of_resources(d: Pdf) -> None:
    d.pages[0].obj.Resources["/Extra"] = String(NUMBER)
    d.pages[0].obj.Resources.Font.F1["/Note"] = String(NUMBER)


def private_keys_of_a_form(d: Pdf) -> None:
    drawing = d.make_indirect(form(TEXT)(d))
    for key in ("/PieceInfo", "/OPI", "/Ref", "/LastModified", "/Name", "/Metadata"):
        drawing[key] = String(NUMBER)
    d.pages[0].obj.Resources.XObject = Dictionary(X1=drawing)
    d.pages[0].obj.Contents = d.make_stream(b"/X1 Do")


def printing_substitute(d: Pdf) -> None:
    drawing = d.make_indirect(form(TEXT)(d))
    drawing.OPI = Dictionary({"/2.0": Dictionary(F=String(NUMBER), Comments=String(NUMBER))})
    d.pages[0].obj.Resources.XObject = Dictionary(X1=drawing)
    d.pages[0].obj.Contents = d.make_stream(b"/X1 Do")


def postscript(d: Pdf) -> None:
    made = d.make_stream(b"% " + N)
    made.Type, made.Subtype = Name.XObject, Name.PS
    d.pages[0].obj.Resources.XObject = Dictionary(X1=made)
    d.pages[0].obj.Contents = d.make_stream(b"/X1 Do " + TEXT)


PLAIN_INK = Dictionary(
    FunctionType=2, Domain=Array([0, 1]), C0=Array([1, 1, 1]), C1=Array([0, 0, 0.5]), N=1
)


def drawn_in(d: Pdf, space: object, more: bytes = b"0.5") -> None:
    d.pages[0].obj.Resources.ColorSpace = Dictionary(CS1=space)
    d.pages[0].obj.Contents = d.make_stream(b"/CS1 cs " + more + b" scn 0 0 50 50 re f " + TEXT)


def name_of_an_ink(d: Pdf) -> None:
    drawn_in(d, Array([Name.Separation, Name(f"/Ink{DIGITS}"), Name.DeviceRGB, PLAIN_INK]))


def names_of_inks(d: Pdf) -> None:
    both = Dictionary(FunctionType=4, Domain=Array([0, 1, 0, 1]), Range=Array([0, 1] * 3))
    function = d.make_stream(b"{ pop dup dup }", both)
    names = Array([Name(f"/A{DIGITS}"), Name(f"/B{DIGITS}")])
    colorants = Dictionary({f"/C{DIGITS}": Array([Name.Separation, Name.X, Name.DeviceRGB,
                                                  PLAIN_INK])})  # fmt: skip
    attributes = Dictionary(
        Subtype=Name.DeviceN, Colorants=colorants, MixingHints=Dictionary(PrintingOrder=names)
    )
    drawn_in(d, Array([Name.DeviceN, names, Name.DeviceRGB, function, attributes]), b"0.5 0.5")


def comment_of_a_function(d: Pdf) -> None:
    function = d.make_stream(
        b"{ % " + N + b"\n dup dup }",
        FunctionType=4, Domain=Array([0, 1]), Range=Array([0, 1] * 3),
    )  # fmt: skip
    drawn_in(d, Array([Name.Separation, Name.Ink, Name.DeviceRGB, function]))


def profile_words(d: Pdf) -> None:
    """The copyright of a real profile exchanged for one of the same length."""
    plain = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    words = "No copyright, use freely".encode("utf-16-be")
    profile = d.make_stream(plain.replace(words, DIGITS.ljust(24).encode("utf-16-be")))
    profile.N = 3
    drawn_in(d, Array([Name.ICCBased, d.make_indirect(profile)]), b"0.8 0.2 0.1")


def halftone(d: Pdf) -> None:
    screen = Dictionary(Type=Name.Halftone, HalftoneType=1, HalftoneName=String(NUMBER),
                        Frequency=60, Angle=0, SpotFunction=Name.Round)  # fmt: skip
    in_state(d, HT=screen)


def transfer_function(d: Pdf) -> None:
    made = d.make_stream(
        b"{ % " + N + b"\n }", FunctionType=4, Domain=Array([0, 1]), Range=Array([0, 1])
    )
    in_state(d, TR=made)


def in_state(d: Pdf, **keys: object) -> None:
    d.pages[0].obj.Resources.ExtGState = Dictionary(G1=Dictionary(**keys))
    d.pages[0].obj.Contents = d.make_stream(b"/G1 gs " + TEXT)


def set_font(d: Pdf, font: Object, codes: bytes = b"plain words") -> None:
    d.pages[0].obj.Resources.Font["/F2"] = font
    d.pages[0].obj.Contents = d.make_stream(
        b"BT /F2 12 Tf 50 300 Td <" + codes.hex().encode() + b"> Tj ET"
    )


def glyph_names_and_map(d: Pdf) -> None:
    made = type_three(d)
    made.ToUnicode = d.make_stream(to_unicode(1, b"% " + N + b"\n/Note (" + N + b") def"))
    made.CharProcs[f"/g{DIGITS}"] = made.CharProcs["/g0"]
    made.Encoding.Differences[1] = Name(f"/g{DIGITS}")
    set_font(d, made, THREE_CODES[-4:])


def metadata_of_a_font(d: Pdf) -> None:
    d.pages[0].obj.Resources.Font.F1.Metadata = d.make_stream(N)


def glyphs_that_nothing_shows(d: Pdf) -> None:
    """A code that stands for the whole number, and is shown nowhere."""
    made = d.pages[0].obj.Resources.Font.F1
    made.Subtype = Name.Type1
    whole = N.decode().encode("utf-16-be").hex().encode()
    made.ToUnicode = d.make_stream(
        b"1 begincodespacerange <00> <ff> endcodespacerange 1 beginbfchar <ff> <" + whole
        + b"> endbfchar endcmap"
    )  # fmt: skip


def descriptor(d: Pdf, **keys: object) -> None:
    program = d.make_stream(true_type_program())
    entries = {"FontFile2": program, **keys}
    made = Dictionary(
        Type=Name.Font, Subtype=Name.TrueType, BaseFont=Name.Vera, FirstChar=32, LastChar=126,
        Encoding=Name.WinAnsiEncoding, Widths=Array([600] * 95),
        FontDescriptor=Dictionary(
            Type=Name.FontDescriptor, FontName=Name.Vera, Flags=32, ItalicAngle=0, Ascent=928,
            FontBBox=Array([-183, -236, 1287, 928]), Descent=-236, CapHeight=729, StemV=80,
            **entries,
        ),
    )  # fmt: skip
    set_font(d, made)


def family_name(d: Pdf) -> None:
    descriptor(d, FontFamily=String(NUMBER), Lang=String(NUMBER), CharSet=String(f"/{DIGITS}"))


def names_in_a_font_program(d: Pdf) -> None:
    data = true_type_program()
    words = b"Bitstream Vera"
    assert words in data
    descriptor(d, FontFile2=d.make_stream(data.replace(words, DIGITS.encode() + b" " * 5)))


def bytes_behind_a_font_program(d: Pdf) -> None:
    descriptor(d, FontFile2=d.make_stream(true_type_program() + N))


def table_of_a_font_program(d: Pdf) -> None:
    """A table that no rasteriser asks for."""
    data = true_type_program()
    count = int.from_bytes(data[4:6])
    end = 12 + 16 * count
    moved = bytearray(data[12:end])
    for at in range(8, len(moved), 16):
        moved[at : at + 4] = (int.from_bytes(moved[at : at + 4]) + 16).to_bytes(4)
    entry = b"note" + bytes(4) + (len(data) + 16).to_bytes(4) + len(N).to_bytes(4)
    head = data[:4] + (count + 1).to_bytes(2) + data[6:12]
    descriptor(d, FontFile2=d.make_stream(head + bytes(moved) + entry + data[end:] + N))


PLANTS: list[Callable[[Pdf], None]] = [
    properties, unused_resources, keys_of_resources, private_keys_of_a_form, printing_substitute,
    postscript, name_of_an_ink, names_of_inks, comment_of_a_function, profile_words, halftone,
    transfer_function, glyph_names_and_map, metadata_of_a_font, glyphs_that_nothing_shows,
    family_name, names_in_a_font_program, bytes_behind_a_font_program, table_of_a_font_program,
]  # fmt: skip


def with_content(content: bytes) -> bytes:
    return as_bytes(document_with(content))


def planted(plant: Callable[[Pdf], None]) -> bytes:
    document = document_with()
    plant(document)
    return as_bytes(document)


def renamed_resources() -> bytes:
    """Not compared: PDFium takes digits in the name of a face that is not embedded for its weight.

    It draws a bolder stand-in before than after.
    """

    def font(_: Pdf) -> Object:
        return Dictionary(
            Type=Name.Font, Subtype=Name.Type1, BaseFont=Name("/" + DIGITS + "+Helvetica"),
            Name=Name("/N" + DIGITS), Encoding=Name.WinAnsiEncoding,
        )  # fmt: skip

    name = f"F{DIGITS}"
    content = b"BT /" + name.encode() + b" 12 Tf 50 300 Td (plain words) Tj ET /X" + DIGITS.encode()
    document = document_with(
        content + b" Do", {name: font}, {"XObject": {f"X{DIGITS}": form(b"0 0 9 9 re f")}}
    )
    return as_bytes(document)


PLACES = {
    **family(
        "content", {k: functools.partial(with_content, v) for k, v in CONTENTS.items()},
        told_by="objects",
    ),
    **family(
        "content", {k: functools.partial(with_content, v) for k, v in OPERANDS.items()},
        told_by="objects", may_hold=True,
    ),
    **family(
        "resource",
        {p.__name__.replace("_", " "): functools.partial(planted, p) for p in PLANTS},
        told_by="objects",
    ),
    **family("resource", {"names": renamed_resources}, told_by="objects", alike=False),
}  # fmt: skip
