"""Documents in which a subset font holds what is written, numbered as many programs do it."""

from collections.abc import Callable, Sequence

import pikepdf
import subset_programs as programs
from pikepdf import Array, Dictionary, Name, Object, String
from planted_pages import as_bytes, blank_sheet

Encoded = tuple[Object, dict[str, bytes]]
"""A font, and the code of each character."""


def by_first_use(text: str) -> str:
    return "".join(dict.fromkeys(text))


def unicode_map(document: pikepdf.Pdf, codes: dict[str, bytes]) -> Object:
    lines = b"".join(
        b"<%s> <%04X>\n" % (code.hex().encode(), ord(char)) for char, code in codes.items()
    )
    length = len(next(iter(codes.values())))
    return document.make_stream(
        b"/CIDInit /ProcSet findresource begin 12 dict begin begincmap /CMapName /X def\n"
        b"/CMapType 2 def 1 begincodespacerange <%s> <%s> endcodespacerange\n%d beginbfchar\n%s"
        b"endbfchar endcmap end end" % (b"00" * length, b"FF" * length, len(codes), lines)
    )


def _descriptor(flags: int, **files: Object) -> Dictionary:
    return Dictionary(
        Type=Name.FontDescriptor, FontName=Name("/ABCDEF+Vera"), Flags=flags, ItalicAngle=0,
        FontBBox=Array([-183, -236, 1287, 928]), Ascent=928, Descent=-236, CapHeight=729, StemV=80,
        **files,
    )  # fmt: skip


def _simple(document, subtype, codes, descriptor, encoding=None) -> Object:
    numbers = {code[0]: char for char, code in codes.items()}
    first, last = min(numbers), max(numbers)
    widths = [programs.width(numbers[c]) if c in numbers else 0 for c in range(first, last + 1)]
    font = Dictionary(
        Type=Name.Font, Subtype=subtype, BaseFont=Name("/ABCDEF+Vera"), FirstChar=first,
        LastChar=last, Widths=Array(widths), FontDescriptor=document.make_indirect(descriptor),
        ToUnicode=unicode_map(document, codes),
    )  # fmt: skip
    if encoding is not None:
        font.Encoding = encoding
    return document.make_indirect(font)


def _counted(chars: str, first: int = 1) -> dict[str, bytes]:
    return {char: bytes([k]) for k, char in enumerate(chars, start=first)}


def symbolic_true_type(document: pikepdf.Pdf, chars: str) -> Encoded:
    """Codes 1, 2, 3 …, as office suites write them."""
    codes = _counted(chars)
    program = programs.true_type(chars, symbol_codes={c: code[0] for c, code in codes.items()})
    stream = document.make_stream(program, Length1=len(program))
    return _simple(document, Name.TrueType, codes, _descriptor(4, FontFile2=stream)), codes


def identity_true_type(document: pikepdf.Pdf, chars: str) -> Encoded:
    """Two-byte codes that are glyph numbers 1, 2, 3 …, as drawing libraries write them."""
    codes = {char: bytes([0, k]) for k, char in enumerate(chars, start=1)}
    return _composite(document, codes, "/FontFile2", programs.true_type(chars)), codes


def face_order_true_type(document: pikepdf.Pdf, chars: str) -> Encoded:
    """Two-byte codes that are the glyph numbers of the face, as browsers write them."""
    order = programs.vera().getGlyphOrder()
    codes = {c: order.index(programs.source_name(c)).to_bytes(2, "big") for c in chars}
    program = programs.true_type(chars, retain=True)
    return _composite(document, codes, "/FontFile2", program), codes


def mapped_true_type(document: pikepdf.Pdf, chars: str) -> Encoded:
    """Codes 3, 4, 5 … and a map from them to the glyphs."""
    codes = {char: bytes([0, k]) for k, char in enumerate(chars, start=3)}
    mapping = b"\0\0" * 3 + b"".join(bytes([0, k]) for k in range(1, len(chars) + 1))
    font = _composite(document, codes, "/FontFile2", programs.true_type(chars))
    font.DescendantFonts[0].CIDToGIDMap = document.make_stream(mapping)
    return font, codes


def named_compact(document: pikepdf.Pdf, chars: str) -> Encoded:
    """Type 1C with the standard codes; only the glyphs stand in the order of first use."""
    codes = {char: char.encode("cp1252") for char in chars}
    stream = document.make_stream(programs.compact(chars), Subtype=Name.Type1C)
    descriptor = _descriptor(32, FontFile3=stream)
    return _simple(document, Name.Type1, codes, descriptor, Name.WinAnsiEncoding), codes


def counting_compact(document: pikepdf.Pdf, chars: str) -> Encoded:
    """Type 1C with codes 1, 2, 3 … and names g1, g2, g3 … in /Differences."""
    codes = _counted(chars)
    stream = document.make_stream(programs.compact(chars, named=False), Subtype=Name.Type1C)
    encoding = Dictionary(
        Type=Name.Encoding,
        Differences=Array([1, *(Name(f"/g{code[0]}") for code in codes.values())]),
    )
    descriptor = _descriptor(4, FontFile3=stream)
    return _simple(document, Name.Type1, codes, descriptor, encoding), codes


def own_encoding_compact(document: pikepdf.Pdf, chars: str) -> Encoded:
    """Type 1C with codes 33, 34, 35 … in the encoding of the program itself."""
    codes = _counted(chars, 33)
    program = programs.compact(chars, codes=b"".join(codes.values()))
    stream = document.make_stream(program, Subtype=Name.Type1C)
    return _simple(document, Name.Type1, codes, _descriptor(4, FontFile3=stream)), codes


def keyed_compact(document: pikepdf.Pdf, chars: str) -> Encoded:
    """A CID-keyed program, CIDs 1, 2, 3 …"""
    codes = {char: bytes([0, k]) for k, char in enumerate(chars, start=1)}
    return _composite(document, codes, "/FontFile3", programs.compact(chars, keyed=True)), codes


def numbered_compact(document: pikepdf.Pdf, chars: str) -> Encoded:
    """A program with names in a composite font: codes are glyph numbers."""
    codes = {char: bytes([0, k]) for k, char in enumerate(chars, start=1)}
    return _composite(document, codes, "/FontFile3", programs.compact(chars)), codes


def type_one(document: pikepdf.Pdf, chars: str) -> Encoded:
    """A Type 1 program with codes 1, 2, 3 … of its own and true names."""
    codes = _counted(chars)
    program, clear, hidden = programs.type_one(chars, b"".join(codes.values()))
    stream = document.make_stream(program, Length1=clear, Length2=hidden, Length3=532)
    return _simple(document, Name.Type1, codes, _descriptor(4, FontFile=stream)), codes


def type_three(document: pikepdf.Pdf, chars: str) -> Encoded:
    """Glyphs a1, a2, a3 … by first use."""
    codes = _counted(chars)
    scale = 1 / programs.UNITS
    drawings = {f"/a{codes[c][0]}": document.make_stream(programs.drawing(c)) for c in chars}
    widths = [programs.width(char) / 1000 * programs.UNITS for char in chars]
    font = Dictionary(
        Type=Name.Font, Subtype=Name.Type3, FontMatrix=Array([scale, 0, 0, scale, 0, 0]),
        FontBBox=Array([-375, -483, 2636, 1901]), CharProcs=Dictionary(drawings),
        Encoding=Dictionary(Differences=Array([1, *map(Name, drawings)])), FirstChar=1,
        LastChar=len(chars), Widths=Array(widths), Resources=Dictionary(),
        ToUnicode=unicode_map(document, codes),
    )  # fmt: skip
    return document.make_indirect(font), codes


def _composite(document, codes, key, program) -> Object:
    compact = key == "/FontFile3"
    stream = document.make_stream(program)
    if compact:
        stream.Subtype = Name.CIDFontType0C
    else:
        stream.Length1 = len(program)
    widths = []
    for char, code in codes.items():
        widths += [int.from_bytes(code, "big"), Array([programs.width(char)])]
    below = Dictionary(
        Type=Name.Font, Subtype=Name.CIDFontType0 if compact else Name.CIDFontType2,
        BaseFont=Name("/ABCDEF+Vera"), DW=0, W=Array(widths),
        CIDSystemInfo=Dictionary(
            Registry=String("Adobe"), Ordering=String("Identity"), Supplement=0
        ),
        FontDescriptor=document.make_indirect(_descriptor(4, **{key[1:]: stream})),
    )  # fmt: skip
    if not compact:
        below.CIDToGIDMap = Name.Identity
    return document.make_indirect(
        Dictionary(
            Type=Name.Font, Subtype=Name.Type0, BaseFont=Name("/ABCDEF+Vera"),
            Encoding=Name("/Identity-H"), DescendantFonts=Array([document.make_indirect(below)]),
            ToUnicode=unicode_map(document, codes),
        )
    )  # fmt: skip


Make = Callable[[pikepdf.Pdf, str], Encoded]
KINDS: dict[str, Make] = {
    "symbolic TrueType": symbolic_true_type,
    "TrueType by glyph number": identity_true_type,
    "TrueType in the order of the face": face_order_true_type,
    "TrueType behind a map": mapped_true_type,
    "Type 1C with names": named_compact,
    "Type 1C with counting names": counting_compact,
    "Type 1C with its own encoding": own_encoding_compact,
    "CID-keyed": keyed_compact,
    "compact by glyph number": numbered_compact,
    "Type 1": type_one,
    "Type 3": type_three,
}


def document_in(make: Make, lines: Sequence[str]) -> bytes:
    """One page with the lines one below the other, all in one font."""
    document = blank_sheet()
    font, codes = make(document, by_first_use("".join(lines)))
    content = b""
    for k, line in enumerate(lines):
        shown = b"".join(codes[char] for char in line).hex().encode()
        content += b"BT /F1 12 Tf 30 %d Td <%s> Tj ET\n" % (350 - 30 * k, shown)
    page = document.pages[0].obj
    page.Contents = document.make_stream(content)
    page.Resources = Dictionary(Font=Dictionary({"/F1": font}))
    return as_bytes(document)
