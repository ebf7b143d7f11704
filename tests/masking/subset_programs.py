"""Font programs that hold just the characters of a text, numbered as they were first used.

Made from Vera, which reportlab brings along.
"""

import functools
import io
from pathlib import Path

import reportlab
from fontTools import agl
from fontTools.cffLib import FDArrayIndex, FDSelect, FontDict, SubrsIndex
from fontTools.fontBuilder import FontBuilder
from fontTools.misc import eexec
from fontTools.misc.psCharStrings import T1CharString, T2CharString
from fontTools.pens.basePen import BasePen
from fontTools.pens.t2CharStringPen import T2CharStringPen
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib import TTFont

UNITS = 2048


@functools.cache
def vera():
    return TTFont(Path(reportlab.__file__).parent / "fonts" / "Vera.ttf")


@functools.cache
def _glyph_set():
    return vera().getGlyphSet()


def source_name(char: str) -> str:
    return vera().getBestCmap()[ord(char)]


def width(char: str) -> int:
    """In thousandths."""
    return round(_glyph_set()[source_name(char)].width * 1000 / UNITS)


def true_type(chars: str, *, retain: bool = False, symbol_codes: dict[str, int] | None = None):
    """Glyph k + 1 is the k-th character; with `retain` glyphs keep the numbers of the face.

    `symbol_codes` makes (3, 0) and (1, 0) tables of these codes.
    """
    order = vera().getGlyphOrder()
    names = [".notdef", *map(source_name, chars)]
    if retain:
        last = max(order.index(name) for name in names)
        names = order[: last + 1]
    kept = {".notdef", *map(source_name, chars)}
    glyphs = {}
    for name in names:
        pen = TTGlyphPen(None)
        if name in kept:
            _glyph_set()[name].draw(_Decomposing(pen))
        glyphs[name] = pen.glyph()
    builder = FontBuilder(UNITS, isTTF=True)
    builder.setupGlyphOrder(names)
    builder.setupCharacterMap({})
    builder.setupGlyf(glyphs)
    metrics = {
        name: (_glyph_set()[name].width if name in kept else 0, glyphs[name].xMin)
        if glyphs[name].numberOfContours
        else (_glyph_set()[name].width if name in kept else 0, 0)
        for name in names
    }
    builder.setupHorizontalMetrics(metrics)
    builder.setupHorizontalHeader(ascent=1901, descent=-483)
    builder.setupPost(keepGlyphNames=False)
    font = builder.font
    font["head"].created = font["head"].modified = 3_500_000_000  # no clock
    font.recalcTimestamp = False
    if symbol_codes is not None:
        _symbol_tables(font, {code: source_name(char) for char, code in symbol_codes.items()})
    else:
        del font["cmap"]
    out = io.BytesIO()
    font.save(out)
    return out.getvalue()


def _symbol_tables(font, names):
    from fontTools.ttLib.tables._c_m_a_p import cmap_format_4, cmap_format_6

    symbol, roman = cmap_format_4(4), cmap_format_6(6)
    symbol.platformID, symbol.platEncID, symbol.language = 3, 0, 0
    roman.platformID, roman.platEncID, roman.language = 1, 0, 0
    symbol.cmap = {0xF000 + code: name for code, name in names.items()}
    roman.cmap = dict(names)
    font["cmap"].tables = [roman, symbol]


class _Decomposing:
    """Components drawn out."""

    def __init__(self, pen):
        self._pen = pen

    def __getattr__(self, name):
        return getattr(self._pen, name)

    def addComponent(self, name, transformation):  # noqa: N802  # the pen protocol
        from fontTools.pens.transformPen import TransformPen

        _glyph_set()[name].draw(TransformPen(self, transformation))


def compact(
    chars: str,
    *,
    keyed: bool = False,
    named: bool = True,
    codes: bytes = b"",
    subroutines: bool = False,
) -> bytes:
    """A compact program; `keyed` by CID 1, 2, 3 …, or with real names, or with counting ones.

    `codes` makes an encoding of its own; `subroutines` draw the glyphs.
    """
    names = [agl.UV2AGL[ord(char)] if named else f"g{k}" for k, char in enumerate(chars, start=1)]
    order = [".notdef", *names]
    strings = {".notdef": T2CharStringPen(600, None).getCharString()}
    for char, name in zip(chars, names, strict=True):
        pen = T2CharStringPen(_glyph_set()[source_name(char)].width, None)
        _glyph_set()[source_name(char)].draw(_Decomposing(pen))
        strings[name] = pen.getCharString()
    builder = FontBuilder(UNITS, isTTF=False)
    builder.setupGlyphOrder(order)
    builder.setupCFF("ABCDEF+Vera", {"FontMatrix": [1 / UNITS, 0, 0, 1 / UNITS, 0, 0]}, strings, {})
    top = builder.font["CFF "].cff[0]
    if codes:
        encoding = [".notdef"] * 256
        for code, name in zip(codes, names, strict=True):
            encoding[code] = name
        top.Encoding = encoding
    if subroutines:
        _move_to_subroutines(top)
    if keyed:
        _make_keyed(top, len(order))
    out = io.BytesIO()
    builder.font["CFF "].cff.compile(out, builder.font, isCFF2=False)
    return out.getvalue()


def _move_to_subroutines(top):
    """Each glyph calls a subroutine of its own, and that one another."""
    subroutines = SubrsIndex()
    for char in top.CharStrings.charStrings.values():
        char.decompile()
        program = list(char.program)
        if len(program) < 6:
            continue
        start = 1 if len(program) % 2 else 0
        inner = T2CharString(program=[*program[3 - start : -1], "return"])
        inner_number = len(subroutines) - 107
        subroutines.append(inner)
        outer = T2CharString(program=[inner_number, "callsubr", "endchar"])
        char.program = [*program[: 3 - start], len(subroutines) - 107, "callsubr"]
        subroutines.append(outer)
        for string in (inner, outer):
            string.private, string.globalSubrs = top.Private, []
    top.Private.Subrs = subroutines


def _make_keyed(top, count):
    names = [".notdef", *(f"cid{k:05d}" for k in range(1, count))]
    strings = top.CharStrings
    strings.charStrings = dict(zip(names, strings.charStrings.values(), strict=True))
    top.charset = names
    top.ROS = ("Adobe", "Identity", 0)
    top.CIDCount = count
    font_dict = FontDict()
    font_dict.setCFF2(False) if hasattr(font_dict, "setCFF2") else None
    font_dict.Private = top.Private
    top.FDArray = FDArrayIndex()
    top.FDArray.append(font_dict)
    top.FDSelect = FDSelect()
    top.FDSelect.gidArray = [0] * count
    for key in ("Private", "Encoding"):
        top.rawDict.pop(key, None)
    del top.Private


def type_one(chars: str, codes: bytes, *, named: bool = True) -> tuple[bytes, int, int]:
    """A Type 1 program with its encoding, and the lengths of its first two parts."""
    names = [agl.UV2AGL[ord(char)] if named else f"g{k}" for k, char in enumerate(chars, start=1)]
    encoded = b"".join(
        b"dup %d /%s put\n" % (code, name.encode()) for code, name in zip(codes, names, strict=True)
    )
    clear = (
        b"%!PS-AdobeFont-1.0: Vera\n11 dict begin\n/FontName /ABCDEF+Vera def\n/PaintType 0 def\n"
        b"/FontType 1 def\n/FontMatrix [0.001 0 0 0.001 0 0] readonly def\n"
        b"/Encoding 256 array\n0 1 255 {1 index exch /.notdef put} for\n" + encoded +
        b"readonly def\n/FontBBox {-183 -236 1287 928} readonly def\ncurrentdict end\n"
        b"currentfile eexec\n"
    )  # fmt: skip
    glyphs = b""
    for name, char in [(".notdef", None), *zip(names, chars, strict=True)]:
        data = eexec.encrypt(b"\0\0\0\0" + _type_one_string(char), 4330)[0]
        glyphs += b"/%s %d RD %s ND\n" % (name.encode(), len(data), data)
    private = (
        b"\0\0\0\0dup /Private 8 dict dup begin\n/RD {string currentfile exch readstring pop}"
        b" executeonly def\n/ND {noaccess def} executeonly def\n"
        b"/NP {noaccess put} executeonly def\n"
        b"/BlueValues [] def\n/MinFeature {16 16} def\n/password 5839 def\n"
        b"2 index /CharStrings %d dict dup begin\n" % (len(names) + 1) + glyphs +
        b"end\nend\nreadonly put\nnoaccess put\ndup /FontName get exch definefont pop\n"
        b"mark currentfile closefile\n"
    )  # fmt: skip
    hidden = eexec.encrypt(private, 55665)[0]
    zeros = (b"0" * 64 + b"\n") * 8 + b"cleartomark\n"
    return clear + hidden + zeros, len(clear), len(hidden)


class _Operators(BasePen):
    """Absolute steps of an outline, in whole units."""

    def __init__(self):
        super().__init__(_glyph_set())
        self.steps = []

    def _moveTo(self, at):  # noqa: N802  # the pen protocol
        self.steps.append(("m", [at]))

    def _lineTo(self, at):  # noqa: N802
        self.steps.append(("l", [at]))

    def _curveToOne(self, *ats):  # noqa: N802
        self.steps.append(("c", ats))

    def _closePath(self):  # noqa: N802
        self.steps.append(("h", []))


def _steps(char: str, scale: float = 1.0):
    pen = _Operators()
    _glyph_set()[source_name(char)].draw(pen)
    return [
        (name, [(round(x * scale), round(y * scale)) for x, y in ats]) for name, ats in pen.steps
    ]


def _type_one_string(char: str | None) -> bytes:
    wide = width(char) if char else 600
    program = [0, wide, "hsbw"]
    x, y = 0, 0
    for step, ats in _steps(char, 1000 / UNITS) if char else []:
        for at in ats:
            program += [at[0] - x, at[1] - y]
            x, y = at
        program.append({"m": "rmoveto", "l": "rlineto", "c": "rrcurveto", "h": "closepath"}[step])
    string = T1CharString(program=[*program, "endchar"])
    string.compile()
    return string.bytecode


def drawing(char: str) -> bytes:
    """The glyph as PDF operators in font units, for a Type 3 font."""
    out = b"%d 0 0 -500 2500 2000 d1 " % _glyph_set()[source_name(char)].width
    for step, ats in _steps(char):
        out += b"".join(b"%d %d " % at for at in ats) + step.encode() + b" "
    return out + b"f"
