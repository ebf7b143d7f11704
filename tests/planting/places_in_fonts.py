"""A number written in every kind of font."""

import functools

from hiding_places import family
from pikepdf import Array, Dictionary, Name
from planted_fonts import (
    CODES,
    MIXED_MAP,
    ONE_BYTE_MAP,
    THREE_CODES,
    TWO_BYTE_CODES,
    character_map,
    composite,
    simple,
    true_type_page,
    type_three,
)
from planted_pages import NUMBER, sheet


def page(font: object, codes: bytes = CODES) -> bytes:
    content = b"BT /F2 12 Tf 50 300 Td <" + codes.hex().encode() + b"> Tj ET"
    return sheet(content, fonts={"F2": font})


STANDARD = [
    "Helvetica", "Helvetica-Bold", "Helvetica-Oblique", "Times-Roman", "Times-BoldItalic",
    "Courier", "Courier-Bold",
]  # fmt: skip

NAMES = [
    "nine", "eight", "seven", "hyphen", "six", "five", "hyphen", "four", "three", "two", "zero",
]  # fmt: skip
UNI_NAMES = [f"uni{ord(char):04X}" for char in NUMBER]


def renamed(names: list[str]) -> object:
    differences = Array([65, *(Name("/" + name) for name in names)])
    return simple(Encoding=Dictionary(Type=Name.Encoding, Differences=differences))


SIMPLE = {
    **{face: (lambda _, face=face: simple(face)) for face in STANDARD},
    "an alias of a standard font": lambda _: simple("ArialMT"),
    "another alias": lambda _: simple("TimesNewRomanPS-BoldMT", Subtype=Name.TrueType),
    "widths of its own": lambda _: simple(
        "Nobody-Knows", FirstChar=45, LastChar=57, Widths=Array([300 + 20 * k for k in range(13)])
    ),
    "a base encoding that is unknown": lambda _: simple("Helvetica", Encoding=Name.Nowhere),
}

UNTOLD_WIDTHS = {
    "an unknown font without widths": lambda _: simple("Nobody-Knows"),
    "an unknown font without a name": lambda _: simple(BaseFont=None),
}

LYING_WIDTHS = {
    "too few widths": lambda _: simple("Nobody-Knows", FirstChar=45, Widths=Array([333, 278])),
    "widths of zero": lambda _: simple("Nobody-Knows", FirstChar=45, Widths=Array([0] * 13)),
    "widths that are no numbers": lambda _: simple(
        "Nobody-Knows", FirstChar=45, Widths=Array([Name.A] * 13)
    ),
    "a standard font with widths that lie": lambda _: simple(
        "Helvetica", FirstChar=45, Widths=Array([900] * 13)
    ),
}

RENAMED = {
    "letters that show digits": (lambda _: renamed(NAMES), bytes(range(65, 76))),
}
NAMED_BY_NUMBER = {
    "glyph names by number": (lambda _: renamed(UNI_NAMES), bytes(range(65, 76))),
}

TYPE_THREE = {
    f"a Type 3 font in units of {scale}": (
        functools.partial(type_three, scale=scale),
        THREE_CODES,
    )
    for scale in (0.001, 0.01, 1.0)
}

COMPOSITE = {
    "Identity-H": (composite, TWO_BYTE_CODES),
    "default width only": (lambda d: composite(d, W=None), TWO_BYTE_CODES),
    "no widths at all": (lambda d: composite(d, W=None, DW=None), TWO_BYTE_CODES),
    "a range of equal widths": (lambda d: composite(d, W=Array([1, 11, 450])), TWO_BYTE_CODES),
    "an embedded map of one-byte codes": (
        lambda d: composite(d, character_map(d, ONE_BYTE_MAP)), THREE_CODES
    ),
    "an embedded map of mixed codes": (
        lambda d: composite(d, character_map(d, MIXED_MAP), first=0x8001),
        b"".join(bytes([0x80, k]) for k in range(1, 12)),
    ),
    "its glyphs in another order": (
        lambda d: composite(d, CIDToGIDMap=d.make_stream(bytes(40))), TWO_BYTE_CODES
    ),
}  # fmt: skip


VERTICAL = {
    "Identity-V": (lambda d: composite(d, Name("/Identity-V")), TWO_BYTE_CODES),
    "an embedded map": (lambda d: composite(d, _vertical_map(d)), THREE_CODES),
    "metrics of its own": (
        lambda d: composite(d, Name("/Identity-V"), DW2=Array([700, -900]),
                            W2=Array([1, 11, -800, 250, 700])), TWO_BYTE_CODES
    ),
}  # fmt: skip


def _vertical_map(document: object) -> object:
    stream = character_map(document, ONE_BYTE_MAP)
    stream.write(stream.read_bytes().replace(b"/WMode 0", b"/WMode 1"))
    stream.WMode = 1
    return stream


SUBSETS = {
    "plain": true_type_page,
    "kerned": functools.partial(true_type_page, kerned=True),
}


def pages(cases: dict[str, object]) -> dict[str, object]:
    made = {}
    for name, case in cases.items():
        font, codes = case if isinstance(case, tuple) else (case, CODES)
        made[name] = functools.partial(page, font, codes)
    return made


PLACES = {
    **family("simple font", pages(SIMPLE)),
    # Without a program and widths each reader draws a face of its own choice, each elsewhere.
    **family("simple font", pages(UNTOLD_WIDTHS), alike=False),
    **family("vertical font", pages(VERTICAL), alike=False),
    **family("font whose widths lie", pages(LYING_WIDTHS), may_hold=True, alike=False),
    **family("font", pages(RENAMED), known=False),
    **family("font", pages(NAMED_BY_NUMBER), known=False, may_hold=True),
    **family("font", pages(TYPE_THREE), known=False),
    **family("composite font", pages(COMPOSITE)),
    **family("embedded subset", SUBSETS),
}
