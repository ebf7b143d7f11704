"""A number in the digits of other scripts, with marks between that are hard to see, or mapped."""

import functools
import unicodedata
from collections.abc import Sequence

from hiding_places import family
from pikepdf import Array, Dictionary, Name, Object, Pdf, String
from planted_fonts import composite, unicode_map
from planted_pages import NUMBER, sheet

DIGITS = NUMBER.replace("-", "")


def written(texts: Sequence[str]) -> bytes:
    """A page on which each code of a font stands for one of `texts`."""

    def font(document: Pdf) -> Object:
        made = composite(document, W=Array([1, Array([500] * len(texts))]))
        made.ToUnicode = document.make_stream(unicode_map(texts))
        return made

    codes = "".join(f"{k:04x}" for k in range(1, len(texts) + 1)).encode()
    return sheet(b"BT /F2 12 Tf 50 300 Td <" + codes + b"> Tj ET", fonts={"F2": font})


def in_script(zero: int, dash: str = "-") -> list[str]:
    return [chr(zero + int(char)) if char.isdigit() else dash for char in NUMBER]


def by_name(pattern: str) -> list[str]:
    words = ["ZERO", "ONE", "TWO", "THREE", "FOUR", "FIVE", "SIX", "SEVEN", "EIGHT", "NINE"]
    return [
        unicodedata.lookup(pattern.format(words[int(char)])) if char.isdigit() else char
        for char in NUMBER
    ]


SCRIPTS = {
    "Arabic-Indic": in_script(0x660),
    "extended Arabic-Indic": in_script(0x6F0),
    "Devanagari": in_script(0x966),
    "Bengali": in_script(0x9E6),
    "Thai": in_script(0xE50),
    "Khmer": in_script(0x17E0),
    "full-width": in_script(0xFF10, "\uff0d"),
    "mathematical bold": in_script(0x1D7CE),
    "mathematical monospace": in_script(0x1D7F6),
    "segmented": in_script(0x1FBF0),
    "superscript": by_name("SUPERSCRIPT {}"),
    "subscript": by_name("SUBSCRIPT {}"),
    "circled": by_name("CIRCLED DIGIT {}"),
    "of several scripts": [
        chr(zero + int(char)) if char.isdigit() else char
        for char, zero in zip(NUMBER, [0x30, 0x660, 0x966, 0, 0xFF10, 0x30, 0, 0x1D7CE, 0xE50,
                                       0x30, 0x6F0], strict=True)
    ],
}  # fmt: skip

DASHES = {
    "hyphens": "\u2010", "non-breaking hyphens": "\u2011", "figure dashes": "\u2012",
    "en dashes": "\u2013", "em dashes": "\u2014", "minus signs": "\u2212",
    "full-width hyphens": "\uff0d", "small hyphens": "\ufe63", "soft hyphens": "\u00ad",
    "hyphen bullets": "\u2043", "no-break spaces": "\u00a0", "thin spaces": "\u2009",
    "ideographic spaces": "\u3000", "points": ".", "strokes": "/", "middle dots": "\u00b7",
}  # fmt: skip

BETWEEN = {
    "zero-width spaces": "\u200b",
    "zero-width joiners": "\u200d",
    "word joiners": "\u2060",
    "byte order marks": "\ufeff",
    "right-to-left marks": "\u200f",
    "soft hyphens": "\u00ad",
    "combining lines": "\u0332",
    "enclosing keycaps": "\ufe0f\u20e3",
    "variation selectors": "\ufe0e",
    "language tags": "\U000e0001",
}

MAPPED = {
    "a digit and its dash to a code": ["98", "7-", "6", "5-", "43", "20"],
    "isolates of right-to-left text": ["\u2067", *NUMBER, "\u2069"],
    "an override of direction": ["\u202e", *NUMBER, "\u202c"],
    "among Hebrew letters": ["\u05d0", "\u05d1", " ", *NUMBER, " ", "\u05d2"],
    "among Arabic letters": ["\u0627", "\u0628", " ", *in_script(0x660), " ", "\u062a"],
    "behind letters that are read as digits": list("SSN " + NUMBER),
}

WIDER_THAN_THEIR_CELL = {"three digits to a code": ["987", "-", "65", "-", "4320"]}


def in_predefined_map(name: str, ordering: str, codes: str) -> bytes:
    """Codes of a character map that readers must know by its name (9.7.5.2)."""

    def font(document: Pdf) -> Object:
        info = Dictionary(Registry=String("Adobe"), Ordering=String(ordering), Supplement=2)
        made = composite(document, Name("/" + name), DW=1000, W=None, CIDToGIDMap=None)
        below = made.DescendantFonts[0]
        below.CIDSystemInfo, below.Subtype = info, Name.CIDFontType0
        del made.ToUnicode
        return made

    return sheet(b"BT /F2 12 Tf 50 380 Td <" + codes.encode() + b"> Tj ET", fonts={"F2": font})


def two_bytes(text: str, coding: str) -> str:
    return text.encode(coding).hex()


WIDE = "".join(in_script(0xFF10))
PREDEFINED = {
    "90ms-RKSJ-H": ("Japan1", two_bytes(NUMBER, "cp932")),
    "90ms-RKSJ-H, full-width": ("Japan1", two_bytes(WIDE, "cp932")),
    "UniJIS-UTF16-H": ("Japan1", two_bytes(NUMBER, "utf-16-be")),
    "UniGB-UCS2-H": ("GB1", two_bytes(NUMBER, "utf-16-be")),
    "GBK-EUC-H": ("GB1", two_bytes(NUMBER, "gbk")),
    "UniCNS-UCS2-H": ("CNS1", two_bytes(NUMBER, "utf-16-be")),
    "KSCms-UHC-H": ("Korea1", two_bytes(NUMBER, "cp949")),
}

VERTICAL = {"90ms-RKSJ-V": ("Japan1", two_bytes(NUMBER, "cp932"))}


def by_their_maps(cases: dict[str, tuple[str, str]]) -> dict[str, object]:
    return {
        name: functools.partial(in_predefined_map, name.split(",")[0], *case)
        for name, case in cases.items()
    }


PLACES = {
    **family("digits", {k: (lambda v=v: written(v)) for k, v in SCRIPTS.items()}, known=False),
    **family(
        "groups parted by",
        {k: (lambda v=v: written(NUMBER.replace("-", v))) for k, v in DASHES.items()},
    ),
    **family(
        "every digit parted by",
        {k: (lambda v=v: written(list(v.join(DIGITS)))) for k, v in BETWEEN.items()},
    ),
    **family("one code", {k: (lambda v=v: written(v)) for k, v in MAPPED.items()}),
    **family(
        "one code",
        {k: (lambda v=v: written(v)) for k, v in WIDER_THAN_THEIR_CELL.items()},
        alike=False,
    ),
    **family("predefined map", by_their_maps(PREDEFINED)),
    **family("predefined map", by_their_maps(VERTICAL), may_hold=True, alike=False),
}
