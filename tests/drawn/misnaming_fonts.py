"""Fonts whose characters come out wrong, or not at all, when the page's text is taken."""

import io
import re
import struct
from pathlib import Path

import pikepdf
import pymupdf
import reportlab
from drawn_samples import NUMBER, outline
from pikepdf import Array, Dictionary, Name
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

FACE = "Vera"
LINE = f"SSN {NUMBER} of record"


def true_type() -> bytes:
    """A page by reportlab with an embedded subset that tells the truth."""
    pdfmetrics.registerFont(TTFont(FACE, "Vera.ttf"))
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(612, 792), invariant=1)
    canvas.setFont(FACE, 11)
    canvas.drawString(72, 600, LINE)
    canvas.setFont("Helvetica", 10)
    canvas.drawString(72, 500, "A line of Helvetica from 2025")
    canvas.save()
    return out.getvalue()


def with_false_map(shift: int = 0x31) -> bytes:
    """The same with a map to Unicode that calls the digits letters."""
    with pikepdf.open(io.BytesIO(true_type())) as document:
        for font in _mapped(document):
            data = font.ToUnicode.read_bytes()
            for digit in range(10):
                true, false = b"<%04x>" % (0x30 + digit), b"<%04X>" % (0x30 + digit + shift)
                data = re.sub(true, false, data, flags=re.IGNORECASE)
            font.ToUnicode = document.make_stream(data)
        return _saved(document)


def without_map() -> bytes:
    """The same with private codes only: no map to Unicode, and no usable names in the program."""
    with pikepdf.open(io.BytesIO(with_false_map(0xE000 - 0x30))) as document:
        return _saved(document)


def standard_encoding_with_false_map() -> bytes:
    """A standard font whose map calls each digit a letter."""
    lines = b"\n".join(b"<%02x> <%04x>" % (0x30 + k, 0x61 + k) for k in range(10))
    cmap = (
        b"begincmap 1 begincodespacerange <00> <ff> endcodespacerange 10 beginbfchar\n"
        + lines
        + b"\nendbfchar endcmap"
    )
    with pikepdf.new() as document:
        document.add_blank_page(page_size=(612, 792))
        font = Dictionary(
            Type=Name.Font, Subtype=Name.Type1, BaseFont=Name.Helvetica,
            Encoding=Name.WinAnsiEncoding, ToUnicode=document.make_stream(cmap),
        )  # fmt: skip
        page = document.pages[0].obj
        page.Resources = Dictionary(Font=Dictionary(F1=document.make_indirect(font)))
        page.Contents = document.make_stream(f"BT /F1 12 Tf 72 600 Td ({LINE}) Tj ET".encode())
        return _saved(document)


def type_three() -> bytes:
    """A font that draws its letters itself, under names that say nothing."""
    with pikepdf.new() as document:
        document.add_blank_page(page_size=(612, 792))
        procedures, differences = {}, [1]
        for k, char in enumerate(NUMBER):
            shape = outline(char, 0, 0, 100)
            procedures[f"/g{k}"] = document.make_stream(f"60 0 0 -20 60 80 d1 {shape} f".encode())
            differences.append(Name(f"/g{k}"))  # type: ignore[arg-type]
        font = Dictionary(
            Type=Name.Font, Subtype=Name.Type3, FontBBox=Array([0, -20, 100, 100]),
            FontMatrix=Array([0.01, 0, 0, 0.01, 0, 0]), CharProcs=Dictionary(procedures),
            Encoding=Dictionary(Type=Name.Encoding, Differences=Array(differences)),
            FirstChar=1, LastChar=len(NUMBER), Widths=Array([60] * len(NUMBER)),
            Resources=Dictionary(),
        )  # fmt: skip
        codes = bytes(range(1, len(NUMBER) + 1)).hex()
        page = document.pages[0].obj
        page.Resources = Dictionary(Font=Dictionary(F9=document.make_indirect(font)))
        page.Contents = document.make_stream(f"BT /F9 14 Tf 72 600 Td <{codes}> Tj ET".encode())
        return _saved(document)


def composite() -> bytes:
    """An embedded face under two-byte codes, with a map that calls digits letters."""
    with pymupdf.open() as document:
        page = document.new_page(width=612, height=792)
        writer = pymupdf.TextWriter(page.rect)
        writer.append((72, 192), LINE, font=pymupdf.Font("tiro"), fontsize=12)
        writer.write_text(page)
        glyphs = {chr(c[0]): c[1] for s in page.get_texttrace() for c in s["chars"]}
        data = document.tobytes()
    lines = "\n".join(
        f"<{glyph:04x}> <{ord(char) + (0x31 if char.isdigit() else 0):04x}>"
        for char, glyph in glyphs.items()
    )
    cmap = (
        "begincmap 1 begincodespacerange <0000> <ffff> endcodespacerange "
        f"{len(glyphs)} beginbfchar\n{lines}\nendbfchar endcmap"
    )
    with pikepdf.open(io.BytesIO(data)) as document:
        for font in _mapped(document):
            font.ToUnicode = document.make_stream(cmap.encode())
        return _saved(document)


def _mapped(document: pikepdf.Pdf) -> list[pikepdf.Object]:
    fonts = document.pages[0].obj.Resources.Font
    return [font for font in fonts.values() if "/ToUnicode" in font]


def _saved(document: pikepdf.Pdf) -> bytes:
    out = io.BytesIO()
    document.save(out, deterministic_id=True)
    return out.getvalue()


def shuffled_program() -> bytes:
    """A standard encoding, no map, and a program in which P to Y draw the digits."""
    widths = [636 if 0x50 <= code <= 0x59 else 0 for code in range(0x20, 0x7F)]
    with pikepdf.new() as document:
        document.add_blank_page(page_size=(612, 792))
        program = document.make_stream(_shifted(_vera(), -0x20))
        descriptor = Dictionary(
            Type=Name.FontDescriptor, FontName=Name("/ABCDEF+Vera"), Flags=32,
            FontBBox=Array([-183, -236, 1287, 928]), ItalicAngle=0, Ascent=928, Descent=-236,
            CapHeight=729, StemV=80, FontFile2=program,
        )  # fmt: skip
        font = Dictionary(
            Type=Name.Font, Subtype=Name.TrueType, BaseFont=Name("/ABCDEF+Vera"),
            Encoding=Name.WinAnsiEncoding, FirstChar=0x20, LastChar=0x7E, Widths=Array(widths),
            FontDescriptor=document.make_indirect(descriptor),
        )  # fmt: skip
        page = document.pages[0].obj
        page.Resources = Dictionary(Font=Dictionary(F1=document.make_indirect(font)))
        page.Contents = document.make_stream(b"BT /F1 14 Tf 72 600 Td (VVVQRSTXQ) Tj ET")
        return _saved(document)


def _vera() -> bytes:
    return (Path(reportlab.__file__).parent / "fonts" / "Vera.ttf").read_bytes()


def _shifted(program: bytes, by: int) -> bytes:
    """The program with the ASCII segment of its character map (format 4) moved."""
    data = bytearray(program)
    tables = {
        bytes(data[at : at + 4]): struct.unpack_from(">II", data, at + 8)
        for at in range(12, 12 + 16 * struct.unpack_from(">H", data, 4)[0], 16)
    }
    start = tables[b"cmap"][0]
    for k in range(struct.unpack_from(">H", data, start + 2)[0]):
        sub = start + struct.unpack_from(">I", data, start + 4 + 8 * k + 4)[0]
        if struct.unpack_from(">H", data, sub)[0] == 4:
            count = struct.unpack_from(">H", data, sub + 6)[0] // 2
            starts = sub + 16 + 2 * count
            for segment in range(count):
                first = struct.unpack_from(">H", data, starts + 2 * segment)[0]
                if first == 0x20:
                    delta = starts + 2 * count + 2 * segment
                    old = struct.unpack_from(">h", data, delta)[0]
                    struct.pack_into(">h", data, delta, old + by)
    return bytes(data)
