"""The four standard faces of our own print, embedded with just the letters that are used.

Readers replace a standard font that is not embedded by whatever they have, which
spoils the setting; so the metric-compatible faces that MuPDF carries go along
(ISO 32000-2, 9.6.2.2 asks for embedding). They are bare CFF fonts. A letter that
is not used has its outline emptied in place, which keeps every offset of the
font right and lets compression take the room.
"""

import hashlib
import unicodedata
from dataclasses import dataclass
from itertools import pairwise

import pikepdf
import pymupdf
from reportlab.pdfbase import pdfmetrics


@dataclass(frozen=True)
class _Face:
    """What a font descriptor says of a standard face, in thousandths (Core 14 metrics files)."""

    carried: str
    """MuPDF's name of its metric-compatible font."""
    box: tuple[int, int, int, int]
    ascent: int
    descent: int
    cap_height: int
    stem: int
    slant: float = 0.0
    serif: bool = True


_FACES = {
    "Helvetica": _Face("helv", (-166, -225, 1000, 931), 718, -207, 718, 88, serif=False),
    "Times-Roman": _Face("tiro", (-168, -218, 1000, 898), 683, -217, 662, 84),
    "Times-Bold": _Face("tibo", (-168, -218, 1000, 935), 683, -217, 676, 139),
    "Times-Italic": _Face("tiit", (-169, -217, 1010, 883), 683, -217, 653, 76, slant=-15.5),
}
_FIRST, _LAST = 32, 255
_NO_LETTERS = ("\x7f", "\ufffd")
_ACCENTS = "`´ˆ˜¨¸ˇ˚¯˘˙˛˝"
"""Accented letters may be built from a letter and one of these (CFF `endchar`, seac form)."""
_ENDCHAR = 14
_CHARSTRINGS = 17
"""Top DICT operator (Adobe Technical Note 5176, table 9)."""
_NONSYMBOLIC, _SERIF, _ITALIC = 1 << 5, 1 << 1, 1 << 6


def face_object(packet: pikepdf.Pdf, face: str, letters: set[str]) -> pikepdf.Dictionary:
    """A simple font for `face`, encoded as WinAnsi, that prints `letters`."""
    known = _FACES[face]
    carried = pymupdf.Font(known.carried)
    program = _with_letters_only(bytes(carried.buffer), _kept_glyphs(carried, letters))
    tag = "".join(chr(65 + byte % 26) for byte in hashlib.sha256(program).digest()[:6])
    name = pikepdf.Name(f"/{tag}+{face}")
    file = packet.make_stream(program)
    file.Subtype = pikepdf.Name.Type1C
    flags = _NONSYMBOLIC | (_SERIF if known.serif else 0) | (_ITALIC if known.slant else 0)
    descriptor = pikepdf.Dictionary(
        Type=pikepdf.Name.FontDescriptor,
        FontName=name,
        Flags=flags,
        FontBBox=pikepdf.Array(list(known.box)),
        ItalicAngle=known.slant,
        Ascent=known.ascent,
        Descent=known.descent,
        CapHeight=known.cap_height,
        StemV=known.stem,
        FontFile3=file,
    )
    return pikepdf.Dictionary(
        Type=pikepdf.Name.Font,
        Subtype=pikepdf.Name.Type1,
        BaseFont=name,
        Encoding=pikepdf.Name.WinAnsiEncoding,
        FirstChar=_FIRST,
        LastChar=_LAST,
        Widths=pikepdf.Array(_widths(face)),
        FontDescriptor=packet.make_indirect(descriptor),
    )


def embed_faces(packet: pikepdf.Pdf, sheets: list[pikepdf.Page], used: dict[str, set[str]]) -> None:
    """Replace the standard fonts named by `sheets` with embedded faces."""
    made: dict[str, pikepdf.Object] = {}
    for sheet in sheets:
        fonts = sheet.obj.Resources.get("/Font", pikepdf.Dictionary())
        replaced = pikepdf.Dictionary()
        for name, font in fonts.items():
            face = str(font.BaseFont).removeprefix("/")
            if face not in used:
                continue
            if face not in made:
                made[face] = packet.make_indirect(face_object(packet, face, used[face]))
            replaced[name] = made[face]
        sheet.obj.Resources.Font = replaced


def _widths(face: str) -> list[int]:
    """In thousandths, of the standard metrics; a code that stands for no letter has none."""
    standard = pdfmetrics.getFont(face).widths
    codes = range(_FIRST, _LAST + 1)
    letters = [bytes([code]).decode("cp1252", "replace") for code in codes]
    return [
        0 if letter in _NO_LETTERS else standard[code]
        for code, letter in zip(codes, letters, strict=True)
    ]


def _kept_glyphs(carried: pymupdf.Font, letters: set[str]) -> set[int]:
    """Glyph numbers of the letters, of what they may be built from, and of .notdef."""
    wanted = set(letters)
    for letter in letters:
        parts = unicodedata.normalize("NFD", letter)
        if len(parts) > 1:
            wanted |= {parts[0], *_ACCENTS}
    return {0, *(carried.has_glyph(ord(letter)) for letter in wanted)}


def _with_letters_only(program: bytes, kept: set[int]) -> bytes:
    """The CFF font with every outline but the kept ones emptied in place."""
    emptied = bytearray(program)
    _, names_end = _index(program, program[2])
    tops, _ = _index(program, names_end)
    outlines, _ = _index(program, _top_operand(program[slice(*tops[0])], _CHARSTRINGS))
    for glyph, (start, end) in enumerate(outlines):
        if glyph not in kept:
            emptied[start:end] = bytes([_ENDCHAR]) + bytes(end - start - 1)
    return bytes(emptied)


def _index(program: bytes, at: int) -> tuple[list[tuple[int, int]], int]:
    """Places of an INDEX's objects and where the INDEX ends (Technical Note 5176, clause 5)."""
    count = int.from_bytes(program[at : at + 2])
    if count == 0:
        return [], at + 2
    size = program[at + 2]
    table = at + 3
    base = table + (count + 1) * size - 1
    offsets = [
        base + int.from_bytes(program[table + n * size : table + (n + 1) * size])
        for n in range(count + 1)
    ]
    return list(pairwise(offsets)), offsets[-1]


def _top_operand(top: bytes, wanted: int) -> int:
    """The integer before an operator of the Top DICT (Technical Note 5176, clause 4)."""
    value, at = 0, 0
    while at < len(top):
        first = top[at]
        if first == wanted:
            return value
        if first == 28:
            value, at = int.from_bytes(top[at + 1 : at + 3], signed=True), at + 3
        elif first == 29:
            value, at = int.from_bytes(top[at + 1 : at + 5], signed=True), at + 5
        elif first == 30:
            while top[at] & 15 != 15:  # a real number ends with the nibble f
                at += 1
            at += 1
        elif 32 <= first <= 246:
            value, at = first - 139, at + 1
        elif 247 <= first <= 250:
            value, at = (first - 247) * 256 + top[at + 1] + 108, at + 2
        elif 251 <= first <= 254:
            value, at = -(first - 251) * 256 - top[at + 1] - 108, at + 2
        else:
            at += 2 if first == 12 else 1
    raise LookupError("this font names no outlines")
