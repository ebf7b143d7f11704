"""A number in a picture that lies, is cut, or is held in every way that a page knows."""

import functools
import itertools
from collections.abc import Callable, Sequence

from hiding_places import family
from pikepdf import Array, Dictionary, Name, Object, Pdf
from PIL import Image, ImageOps
from planted_pages import as_bytes, blank_sheet, form
from planted_pictures import SIZE, drawn, flate, picture_sheet, stencil

TURN = Image.Transpose
WAYS = {
    "on its head": (b"-300 0 0 -100 350 300 cm", TURN.ROTATE_180),
    "mirrored": (b"-300 0 0 100 350 200 cm", TURN.FLIP_LEFT_RIGHT),
    "flipped": (b"300 0 0 -100 50 300 cm", TURN.FLIP_TOP_BOTTOM),
    "on its left side": (b"0 100 -300 0 350 200 cm", TURN.ROTATE_270),
    "on its right side": (b"0 -100 300 0 50 300 cm", TURN.ROTATE_90),
    "transposed": (b"0 100 300 0 50 200 cm", TURN.TRANSVERSE),
    "transversed": (b"0 -100 -300 0 350 300 cm", TURN.TRANSPOSE),
}
"""The matrix, and how the picture must be stored to be seen upright through it."""


def grey(picture: Image.Image) -> Callable[[Pdf], Object]:
    return lambda document: flate(document, picture, Name.DeviceGray)


def lying(matrix: bytes, turn: Image.Transpose) -> bytes:
    return picture_sheet(grey(drawn().transpose(turn)), placed=[matrix])


def on_turned_page(rotate: int) -> bytes:
    return picture_sheet(grey(drawn()), keys={"/Rotate": rotate})


def drawn_twice() -> bytes:
    return picture_sheet(grey(drawn()), placed=[b"300 0 0 100 50 50 cm", b"0 180 -60 0 390 200 cm"])


def nested(kind: str) -> bytes:
    document = blank_sheet()
    page = document.pages[0].obj
    image = document.make_indirect(grey(drawn())(document))
    content = b"q 300 0 0 100 50 200 cm /Im1 Do Q"
    holder = form(content)(document)
    holder.Resources = Dictionary(XObject=Dictionary(Im1=image))
    if kind == "form":
        page.Resources = Dictionary(XObject=Dictionary(X1=document.make_indirect(holder)))
        page.Contents = document.make_stream(b"/X1 Do")
    elif kind == "pattern":
        del holder["/Subtype"], holder["/Type"]
        for key in ("PatternType", "PaintType", "TilingType"):
            holder["/" + key] = 1
        holder.XStep = holder.YStep = 400
        page.Resources = Dictionary(Pattern=Dictionary(P1=document.make_indirect(holder)))
        page.Contents = document.make_stream(b"/Pattern cs /P1 scn 0 0 400 400 re f")
    else:
        glyph = document.make_stream(b"1 0 d0 q 1 0 0 0.34 0 0 cm /Im1 Do Q")
        page.Resources = Dictionary(
            Font=Dictionary(
                F9=Dictionary(
                    Type=Name.Font, Subtype=Name.Type3, FontBBox=Array([0, 0, 1, 1]),
                    FontMatrix=Array([1, 0, 0, 1, 0, 0]), CharProcs=Dictionary(a=glyph),
                    Encoding=Dictionary(Differences=Array([97, Name.a])), FirstChar=97,
                    LastChar=97, Widths=Array([1]),
                    Resources=Dictionary(XObject=Dictionary(Im1=image)),
                )
            )
        )  # fmt: skip
        page.Contents = document.make_stream(b"BT /F9 300 Tf 50 200 Td (a) Tj ET")
    return as_bytes(document)


def painted_by_a_pattern() -> bytes:
    """A stencil through which a pattern shows."""
    document = blank_sheet()
    page = document.pages[0].obj
    tile = form(b"0.1 0.1 0.4 rg 0 0 20 20 re f", PatternType=1, PaintType=1, TilingType=1,
                XStep=20, YStep=20)(document)  # fmt: skip
    tile.BBox = Array([0, 0, 20, 20])
    del tile["/Subtype"], tile["/Type"]
    page.Resources = Dictionary(
        Pattern=Dictionary(P1=document.make_indirect(tile)),
        XObject=Dictionary(Im1=document.make_indirect(stencil(document))),
    )
    page.Contents = document.make_stream(b"/Pattern cs /P1 scn q 300 0 0 100 50 200 cm /Im1 Do Q")
    return as_bytes(document)


HEADS = {
    "inline": b"/W 900 /H 300 /BPC 8 /CS /G ID ",
    "inline in long words": b"/Width 900 /Height 300 /BitsPerComponent 8 /ColorSpace /DeviceGray "
    b"ID ",
}


def inline(head: bytes, inside: str) -> bytes:
    content = b"q 300 0 0 100 50 200 cm BI " + head + drawn().tobytes() + b"\nEI Q"
    document = blank_sheet()
    page = document.pages[0].obj
    if inside == "form":
        drawing = document.make_indirect(form(content)(document))
        page.Resources = Dictionary(XObject=Dictionary(X1=drawing))
        content = b"/X1 Do"
    page.Contents = document.make_stream(content)
    return as_bytes(document)


def strips(count: int) -> bytes:
    """One scan cut into strips that lie on one another without a gap."""
    height = SIZE[1] // count
    parts = [drawn().crop((0, k * height, SIZE[0], (k + 1) * height)) for k in range(count)]
    places = [(50, 300 - (k + 1) * height / 3, 300, height / 3) for k in range(count)]
    return mosaic(parts, places)


def columns() -> bytes:
    """The digits' line cut between its digits."""
    edges = [0, 290, 420, 560, SIZE[0]]
    parts = [drawn().crop((a, 0, b, SIZE[1])) for a, b in itertools.pairwise(edges)]
    places = [(50 + a / 3, 200, (b - a) / 3, 100) for a, b in itertools.pairwise(edges)]
    return mosaic(parts, places)


def mosaic(
    parts: Sequence[Image.Image], places: Sequence[tuple[float, float, float, float]]
) -> bytes:
    document = blank_sheet()
    page = document.pages[0].obj
    content, images = b"", Dictionary()
    for k, (part, (x, y, width, height)) in enumerate(zip(parts, places, strict=True)):
        images[f"/Im{k}"] = document.make_indirect(flate(document, part, Name.DeviceGray))
        content += b"q %f 0 0 %f %f %f cm /Im%d Do Q " % (width, height, x, y, k)
    page.Resources = Dictionary(XObject=images)
    page.Contents = document.make_stream(content)
    return as_bytes(document)


def two_halves_of_ink() -> bytes:
    """Two stencils, each with every second column of the words; only both together show them."""
    document = blank_sheet()
    page = document.pages[0].obj
    words, images = drawn("1").convert("L"), Dictionary()
    comb = Image.frombytes("L", (SIZE[0], 1), bytes(255 * (k // 2 % 2) for k in range(SIZE[0])))
    comb = comb.resize(SIZE)
    for k, other in enumerate((comb, ImageOps.invert(comb))):
        half = Image.composite(words, Image.new("L", SIZE, 255), other).convert("1")
        made = flate(document, half, Name.DeviceGray)
        del made["/ColorSpace"]
        made.ImageMask, made.BitsPerComponent = True, 1
        images[f"/Im{k}"] = document.make_indirect(made)
    page.Resources = Dictionary(XObject=images)
    page.Contents = document.make_stream(
        b"q 300 0 0 100 50 200 cm /Im0 Do Q q 300 0 0 100 50 200 cm /Im1 Do Q"
    )
    return as_bytes(document)


INSIDE = ("form", "pattern", "glyph of a Type 3 font")
PLACES = {
    **family(
        "picture lying", {k: functools.partial(lying, *way) for k, way in WAYS.items()},
        told_by="pixels", known=False,
    ),
    **family(
        "picture on a page turned by",
        {str(k): functools.partial(on_turned_page, k) for k in (90, 180, 270)},
        told_by="pixels", known=False,
    ),
    **family(
        "picture",
        {
            f"{name}, in a {inside}": functools.partial(inline, head, inside)
            for name, head in HEADS.items()
            for inside in ("page", "form")
        },
        told_by="pixels", known=False,
    ),
    **family(  # the masks of these name one place where there are several, or none can be told
        "picture",
        {
            "drawn twice": drawn_twice,
            "a stencil that a pattern fills": painted_by_a_pattern,
            **{f"in a {kind}": functools.partial(nested, kind) for kind in INSIDE},
        },
        told_by="pixels", known=False, alike=False,
    ),
    **family(
        "picture in strips", {str(k): functools.partial(strips, k) for k in (2, 4, 6, 12)},
        told_by="pixels", known=False, may_hold=True,
    ),
    **family(
        "picture", {"cut between its digits": columns, "in two halves of ink": two_halves_of_ink},
        told_by="pixels", known=False, may_hold=True,
    ),
}  # fmt: skip
