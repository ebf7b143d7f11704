"""Fonts of every kind that PDF knows, each with the codes that write the planted number."""

import functools
import io
from collections.abc import Sequence

import pikepdf
from pikepdf import Array, Dictionary, Name, Object, String
from planted_pages import NUMBER
from reportlab import rl_config
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

CODES = NUMBER.encode()


def simple(face: str = "Helvetica", **keys: object) -> Object:
    entries = {"Type": Name.Font, "Subtype": Name.Type1, "BaseFont": Name("/" + face), **keys}
    return Dictionary(**{key: value for key, value in entries.items() if value is not None})


def type_three(document: pikepdf.Pdf, scale: float = 0.001, size: float = 1.0) -> Object:
    """Each glyph is a box; the codes are 1, 2, 3 … and only /ToUnicode says which digit.

    `size` is how large the glyphs are at a type size of 1.
    """
    unit = 0.001 / scale * size
    procedures, names = Dictionary(), []
    for k in range(len(NUMBER)):
        drawing = b"%f 0 d0 0 0 %f %f re f" % (600 * unit, 500 * unit, 700 * unit)
        procedures[f"/g{k}"] = document.make_stream(drawing)
        names.append(Name(f"/g{k}"))
    return Dictionary(
        Type=Name.Font,
        Subtype=Name.Type3,
        FontBBox=Array([0, 0, 600 * unit, 700 * unit]),
        FontMatrix=Array([scale, 0, 0, scale, 0, 0]),
        CharProcs=procedures,
        Encoding=Dictionary(Type=Name.Encoding, Differences=Array([1, *names])),
        FirstChar=1,
        LastChar=len(NUMBER),
        Widths=Array([600 * unit] * len(NUMBER)),
        Resources=Dictionary(),
        ToUnicode=document.make_stream(to_unicode(1)),
    )


THREE_CODES = bytes(range(1, len(NUMBER) + 1))


def to_unicode(digits: int, comment: bytes = b"", first: int = 1) -> bytes:
    """A map from 1, 2, 3 … to the characters of the number, in codes of `digits` bytes."""
    width = 2 * digits
    lines = b"\n".join(
        b"<%0*x> <%04x>" % (width, k + first, ord(char)) for k, char in enumerate(NUMBER)
    )
    return (
        b"/CIDInit /ProcSet findresource begin 12 dict begin begincmap\n"
        b"/CMapName /Adobe-Identity-UCS def /CMapType 2 def " + comment + b"\n"
        b"1 begincodespacerange <%s> <%s> endcodespacerange\n%d beginbfchar\n%s\nendbfchar\n"
        b"endcmap CMapName currentdict /CMap defineresource pop end end"
        % (b"0" * width, b"f" * width, len(NUMBER), lines)
    )


def unicode_map(texts: Sequence[str]) -> bytes:
    """A map from the two-byte codes 1, 2, 3 … to texts, one for each code (9.10.3)."""
    lines = b"\n".join(
        b"<%04x> <%s>" % (k, text.encode("utf-16-be").hex().encode())
        for k, text in enumerate(texts, start=1)
    )
    return (
        b"/CIDInit /ProcSet findresource begin 12 dict begin begincmap\n"
        b"1 begincodespacerange <0000> <ffff> endcodespacerange\n%d beginbfchar\n%s\nendbfchar\n"
        b"endcmap end end" % (len(texts), lines)
    )


def composite(
    document: pikepdf.Pdf, encoding: Object | None = None, first: int = 1, **inner: object
) -> Object:
    """A Type 0 font without a font program; code and CID k write the k-th character."""
    keys = {
        "DW": 600,
        "W": Array([1, Array([500] * len(NUMBER))]),
        "CIDToGIDMap": Name.Identity,
        **inner,
    }
    below = Dictionary(
        Type=Name.Font,
        Subtype=Name.CIDFontType2,
        BaseFont=Name.Planted,
        CIDSystemInfo=Dictionary(
            Registry=String("Adobe"), Ordering=String("Identity"), Supplement=0
        ),
        FontDescriptor=Dictionary(
            Type=Name.FontDescriptor,
            FontName=Name.Planted,
            Flags=4,
            FontBBox=Array([0, -200, 1000, 800]),
            ItalicAngle=0,
            Ascent=800,
            Descent=-200,
            CapHeight=700,
            StemV=80,
        ),
        **{key: value for key, value in keys.items() if value is not None},
    )
    return Dictionary(
        Type=Name.Font,
        Subtype=Name.Type0,
        BaseFont=Name.Planted,
        Encoding=encoding if encoding is not None else Name("/Identity-H"),
        DescendantFonts=Array([document.make_indirect(below)]),
        ToUnicode=document.make_stream(to_unicode(2, first=first)),
    )


TWO_BYTE_CODES = b"".join(bytes([0, k]) for k in range(1, len(NUMBER) + 1))


def character_map(document: pikepdf.Pdf, body: bytes) -> Object:
    """An embedded CMap as encoding (9.7.5.3)."""
    stream = document.make_stream(
        b"/CIDInit /ProcSet findresource begin 12 dict begin begincmap\n"
        b"/CMapName /Planted-H def /CMapType 1 def /WMode 0 def\n"
        + body
        + b"\nendcmap CMapName currentdict /CMap defineresource pop end end"
    )
    stream.Type, stream.CMapName = Name.CMap, Name("/Planted-H")
    stream.CIDSystemInfo = Dictionary(
        Registry=String("Adobe"), Ordering=String("Identity"), Supplement=0
    )
    return stream


ONE_BYTE_MAP = (
    b"1 begincodespacerange <00> <ff> endcodespacerange\n1 begincidrange <01> <0b> 1 endcidrange"
)
MIXED_MAP = (
    b"2 begincodespacerange <00> <7f> <8000> <ffff> endcodespacerange\n"
    b"1 begincidrange <8001> <800b> 1 endcidrange\n1 begincidchar <20> 20 endcidchar"
)


@functools.cache
def true_type_page(*, kerned: bool = False) -> bytes:
    """A page by reportlab with an embedded subset of a TrueType font."""
    rl_config.invariant = 1
    pdfmetrics.registerFont(TTFont("Vera", "Vera.ttf"))
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(400, 400), invariant=1)
    canvas.setFont("Vera", 13)
    canvas.drawString(50, 300, NUMBER, charSpace=1.5 if kerned else None)
    canvas.drawString(50, 200, "and other words")
    canvas.save()
    return out.getvalue()


@functools.cache
def true_type_program() -> bytes:
    """The program of an embedded subset, as it stands in a page by reportlab."""
    with pikepdf.open(io.BytesIO(true_type_page())) as document:
        fonts = document.pages[0].obj.Resources.Font.values()
        font = next(font for font in fonts if "/FontDescriptor" in font)
        return bytes(font.FontDescriptor.FontFile2.read_bytes())
