"""A number inside forms, patterns, soft masks, glyph procedures, appearances and layers."""

from hiding_places import family
from pikepdf import Array, Dictionary, Name, Object, Pdf, String
from planted_pages import NUMBER, as_bytes, blank_sheet, fill_page, form, sheet

N = NUMBER.encode()
TEXT = b"BT /F1 12 Tf 50 300 Td (" + N + b") Tj ET"
DRAW = b"q /X1 Do Q"


def drawing(*, content: bytes = DRAW, **forms: object) -> bytes:
    return sheet(content, resources={"XObject": forms})


def courier(document: Pdf) -> Object:
    return Dictionary(Type=Name.Font, Subtype=Name.Type1, BaseFont=Name.Courier)


GROUP = Dictionary(S=Name.Transparency, I=True, CS=Name.DeviceRGB)
FORMS = {
    "a form": lambda: drawing(X1=form(TEXT)),
    "a form with a matrix": lambda: drawing(X1=form(TEXT, matrix=(0.5, 0, 0, 0.8, 40, 20))),
    "a form turned": lambda: drawing(X1=form(TEXT, matrix=(0, 1, -1, 0, 400, 0))),
    "a form in a form": lambda: drawing(
        X1=form(b"q 0.9 0 0 0.9 5 5 cm /X2 Do Q", inner={"X2": form(TEXT)})
    ),
    "a form without resources": lambda: drawing(X1=form(TEXT, borrowing=True)),
    "a form that takes over font and size": lambda: drawing(
        content=b"BT /F1 12 Tf ET /X1 Do",
        X1=form(b"BT 50 300 Td (" + N + b") Tj ET", fonts={"F1": courier}),
    ),
    "a form with a font of its own under a used name": lambda: drawing(
        content=b"BT /F1 12 Tf 50 100 Td (words) Tj ET /X1 Do",
        X1=form(TEXT, fonts={"F1": courier}),
    ),
    "a form clipped to nothing": lambda: drawing(X1=form(TEXT, BBox=Array([0, 0, 1, 1]))),
    "a transparency group": lambda: drawing(X1=form(TEXT, Group=GROUP)),
    "a number of page and form": lambda: drawing(
        content=b"BT /F1 12 Tf 50 300 Td (987-65) Tj ET /X1 Do",
        X1=form(b"BT /F1 12 Tf 92 300 Td (-4320) Tj ET"),
    ),
    "a font set by a graphics state": lambda: sheet(
        b"/G1 gs BT 50 300 Td (" + N + b") Tj ET",
        resources={"ExtGState": {"G1": font_by_graphics_state}},
    ),
}


def font_by_graphics_state(document: Pdf) -> Object:
    return Dictionary(Font=Array([document.make_indirect(courier(document)), 14]))


def showing_glyph(document: Pdf) -> Object:
    """A Type 3 font whose one glyph writes the whole number in another font."""
    glyph = document.make_stream(b"10 0 d0 BT /F1 1 Tf (" + N + b") Tj ET")
    return Dictionary(
        Type=Name.Font, Subtype=Name.Type3, FontBBox=Array([0, 0, 10, 1]),
        FontMatrix=Array([1, 0, 0, 1, 0, 0]), CharProcs=Dictionary(a=glyph),
        Encoding=Dictionary(Differences=Array([97, Name.a])), FirstChar=97, LastChar=97,
        Widths=Array([10]), Resources=Dictionary(Font=Dictionary(F1=courier(document))),
    )  # fmt: skip


def pattern(document: Pdf) -> Object:
    tile = form(TEXT, PatternType=1, PaintType=1, TilingType=1, XStep=400, YStep=400)(document)
    del tile["/Subtype"], tile["/Type"]
    return tile


def soft_mask(document: Pdf) -> Object:
    group = form(b"1 g " + TEXT, Group=Dictionary(S=Name.Transparency, CS=Name.DeviceGray))
    drawn = document.make_indirect(group(document))
    return Dictionary(SMask=Dictionary(S=Name.Luminosity, G=drawn))


PATTERN = sheet(
    b"/Pattern cs /P1 scn 0 0 400 400 re f", resources={"Pattern": {"P1": pattern}}
)  # fmt: skip
UNUSUAL = {
    "a tiling pattern": PATTERN,
    "a tiling pattern that strokes": sheet(
        b"/Pattern CS /P1 SCN 30 w 0 310 m 400 310 l S", resources={"Pattern": {"P1": pattern}}
    ),
    "a soft mask": sheet(
        b"/G1 gs 0 0 400 400 re f", resources={"ExtGState": {"G1": soft_mask}}
    ),
}  # fmt: skip

SHOWING_GLYPH = {
    "a glyph that shows a text": sheet(
        b"BT /F2 10 Tf 50 300 Td (a) Tj ET", fonts={"F2": showing_glyph}
    ),
}


def appearance() -> bytes:
    document = blank_sheet()
    look = document.make_indirect(form(b"BT /F1 12 Tf 5 5 Td (" + N + b") Tj ET")(document))
    look.BBox = Array([0, 0, 200, 30])
    note = Dictionary(
        Type=Name.Annot, Subtype=Name.FreeText, Rect=Array([50, 300, 250, 330]), F=4,
        Contents=String(NUMBER), DA=String("/Helv 12 Tf"), AP=Dictionary(N=look),
    )  # fmt: skip
    document.pages[0].obj.Annots = Array([document.make_indirect(note)])
    return as_bytes(document)


def layer(*, off: bool) -> bytes:
    document = blank_sheet()
    group = document.make_indirect(Dictionary(Type=Name.OCG, Name=String("layer")))
    setting = Dictionary(OFF=Array([group])) if off else Dictionary(ON=Array([group]))
    document.Root.OCProperties = Dictionary(OCGs=Array([group]), D=setting)
    content = b"/OC /L1 BDC " + TEXT + b" EMC BT /F1 12 Tf 50 200 Td (seen) Tj ET"
    fill_page(document, document.pages[0].obj, content, {}, {"Properties": {"L1": lambda _: group}})
    return as_bytes(document)


LAYERS = {
    "a layer": lambda: layer(off=False),
    "a layer that is off": lambda: layer(off=True),
}


PLACES = {
    **family("nested", FORMS, known=False),
    **family("nested", UNUSUAL, told_by="objects"),
    **family("nested", SHOWING_GLYPH, told_by="objects", may_hold=True),
    **family("nested", {"an appearance": appearance}, told_by="objects", known=False),
    **family("nested", LAYERS, known=False),
}
