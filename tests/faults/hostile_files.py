"""Small files that ask for endless work or room."""

import functools
import io
import re
import sys
import zlib
from collections.abc import Callable
from pathlib import Path

import pikepdf
from pikepdf import Array, Dictionary, Name, Object, Pdf

sys.path.append(str(Path(__file__).parents[1] / "planting"))

from planted_fonts import composite
from planted_pages import as_bytes, blank_sheet, fill_page, form, sheet
from planted_pictures import stored

TEXT = b"BT /F1 12 Tf 50 300 Td (987-65-4320) Tj ET"


def plain() -> bytes:
    return sheet(TEXT)


def replaced(pattern: bytes, by: bytes) -> bytes:
    """A sound file with some bytes exchanged."""
    data = plain()
    changed = re.sub(pattern, by, data, count=1)
    assert changed != data
    return changed


def many_annotations() -> bytes:
    document = blank_sheet()
    note = {"Type": Name.Annot, "Rect": Array([10, 10, 90, 30]), "F": 4}
    look = document.make_indirect(form(TEXT)(document))
    document.pages[0].obj.Annots = Array(
        [
            document.make_indirect(Dictionary(Subtype=Name.Stamp, AP=Dictionary(N=look), **note))
            for _ in range(10_000)
        ]
    )
    return as_bytes(document)


def fields_in_a_circle() -> bytes:
    document = blank_sheet()
    field = document.make_indirect(
        Dictionary(Type=Name.Annot, Subtype=Name.Widget, FT=Name.Tx, Rect=Array([0, 0, 9, 9]))
    )
    field.Parent, field.Kids = field, Array([field])
    document.pages[0].obj.Annots = Array([field])
    document.Root.AcroForm = Dictionary(Fields=Array([field]))
    return as_bytes(document)


def outline_in_a_circle() -> bytes:
    document = blank_sheet()
    item = document.make_indirect(Dictionary(Title="x"))
    item.Next = item.First = item.Last = item.Parent = item
    document.Root.Outlines = document.make_indirect(Dictionary(First=item, Last=item))
    return as_bytes(document)


def names_in_a_circle() -> bytes:
    document = blank_sheet()
    node = document.make_indirect(Dictionary())
    node.Kids = Array([node, node])
    document.Root.Names = Dictionary(EmbeddedFiles=node, JavaScript=node, Dests=node)
    return as_bytes(document)


def nested_arrays(depth: int) -> bytes:
    return plain() + b"900 0 obj\n" + b"[" * depth + b"]" * depth + b"\nendobj\n"


def filters_over_filters(times: int) -> bytes:
    data = b"BT ET " * 1000
    for _ in range(times):
        data = zlib.compress(data)
    document = blank_sheet()
    document.pages[0].obj.Contents = document.make_stream(
        data, Filter=Array([Name.FlateDecode] * times)
    )
    out = io.BytesIO()
    document.save(out, compress_streams=False, stream_decode_level=pikepdf.StreamDecodeLevel.none)
    return out.getvalue()


def inflating(size: int, twice: bool = False) -> bytes:
    """A content stream of blanks; `twice` deflated, as few bytes as there are."""
    packer, parts = zlib.compressobj(9), []
    for _ in range(size >> 20):
        parts.append(packer.compress(b" " * (1 << 20)))
    data = b"".join(parts) + packer.flush()
    filters = [Name.FlateDecode]
    if twice:
        data, filters = zlib.compress(data, 9), filters * 2
    document = blank_sheet()
    document.pages[0].obj.Contents = document.make_stream(data, Filter=Array(filters))
    out = io.BytesIO()
    document.save(out, compress_streams=False, stream_decode_level=pikepdf.StreamDecodeLevel.none)
    return out.getvalue()


def picture(**keys: object) -> bytes:
    """A picture whose keys promise more than its few bytes hold."""
    document = blank_sheet()
    parameters = keys.pop("DecodeParms", None)
    made = stored(document, zlib.compress(b"x" * 90), (10, 9), ColorSpace=Name.DeviceGray)
    for key, value in {"Filter": Name.FlateDecode, **keys}.items():
        made["/" + key] = value
    if parameters is not None:
        made.DecodeParms = parameters
    page = document.pages[0].obj
    page.Resources = Dictionary(XObject=Dictionary(Im1=document.make_indirect(made)))
    page.Contents = document.make_stream(b"q 90 0 0 90 9 9 cm /Im1 Do Q")
    out = io.BytesIO()
    document.save(out, stream_decode_level=pikepdf.StreamDecodeLevel.none)
    return out.getvalue()


def tile_of_dust(document: Pdf) -> Object:
    tile = form(b"0 0 1 1 re f", PatternType=1, PaintType=1, TilingType=1, XStep=0.001,
                YStep=0.001)(document)  # fmt: skip
    del tile["/Subtype"], tile["/Type"]
    return tile


def endless_map(document: Pdf) -> Object:
    made = composite(document)
    made.ToUnicode = document.make_stream(
        b"1 begincodespacerange <00000000> <ffffffff> endcodespacerange\n"
        b"1 beginbfrange <00000000> <ffffffff> <0030> endbfrange\n"
        b"1 begincidrange <00000000> <ffffffff> 0 endcidrange endcmap"
    )
    return made


def sampled_function(document: Pdf) -> Object:
    function = document.make_stream(
        b"\0", FunctionType=0, Domain=Array([0, 1] * 8), Range=Array([0, 1]),
        Size=Array([9999] * 8), BitsPerSample=32,
    )  # fmt: skip
    inks = Array([Name(f"/I{k}") for k in range(8)])
    return Array([Name.DeviceN, inks, Name.DeviceGray, function])


def mesh(document: Pdf) -> Object:
    return document.make_stream(
        b"\0" * 64, ShadingType=5, ColorSpace=Name.DeviceGray, BitsPerCoordinate=32,
        BitsPerComponent=16, VerticesPerRow=2_000_000_000, Decode=Array([0, 1, 0, 1, 0, 1]),
    )  # fmt: skip


def broken_second_font() -> bytes:
    document = blank_sheet()
    font = composite(document)
    font.DescendantFonts[0].W = Array([0, Array([500] * 100_000)])
    fill_page(document, document.pages[0].obj, b"BT /F2 9 Tf <0001> Tj ET", {"F2": lambda _: font},
              {})  # fmt: skip
    return as_bytes(document)


def page_that_is_its_own_parent() -> bytes:
    return replaced(rb"/Parent 2 0 R", b"/Parent 3 0 R")


HOSTILE: dict[str, Callable[[], bytes]] = {
    "10,000 annotations": many_annotations,
    "fields in a circle": fields_in_a_circle,
    "an outline in a circle": outline_in_a_circle,
    "name trees in a circle": names_in_a_circle,
    "a page tree in a circle": lambda: replaced(rb"/Kids \[ 3 0 R \]", b"/Kids [ 2 0 R ]"),
    "a page as its own parent": page_that_is_its_own_parent,
    "a tree that counts too many pages": lambda: replaced(rb"/Count 1", b"/Count 99999999"),
    "a tree that counts fewer than none": lambda: replaced(rb"/Count 1", b"/Count -9"),
    "one page two thousand times": lambda: replaced(
        rb"/Kids \[ 3 0 R \]", b"/Kids [ " + b"3 0 R " * 2000 + b"]"
    ),
    "a table that says where nothing is": lambda: replaced(rb"startxref\s+\d+", b"startxref\n9"),
    "a table of more objects than there are": lambda: replaced(rb"/Size \d+", b"/Size 999999999"),
    "a table that follows itself": lambda: replaced(rb"/Size", b"/Prev 15 /Size"),
    "a length that refers to itself": lambda: replaced(rb"/Length \d+", b"/Length 4 0 R"),
    "a length far beyond the end": lambda: replaced(rb"/Length \d+", b"/Length 999999999"),
    "arrays a hundred thousand deep": functools.partial(nested_arrays, 100_000),
    "forty filters one over the other": functools.partial(filters_over_filters, 40),
    "blanks without end": functools.partial(inflating, 400 << 20),
    "blanks deflated twice": functools.partial(inflating, 400 << 20, twice=True),
    "a picture of a thousand million pixels": lambda: picture(Width=100_000, Height=10_000),
    "a picture of no size": lambda: picture(Width=0, Height=-5),
    "a predictor with endless rows": lambda: picture(
        DecodeParms=Dictionary(Predictor=15, Columns=2_000_000_000, Colors=32)
    ),
    "a fax of endless rows": lambda: picture(
        Filter=Name.CCITTFaxDecode, BitsPerComponent=1,
        DecodeParms=Dictionary(K=-1, Columns=60_000, Rows=2_000_000_000),
    ),
    "tiles of dust": lambda: sheet(
        b"/Pattern cs /P1 scn 0 0 400 400 re f", resources={"Pattern": {"P1": tile_of_dust}}
    ),
    "dashes of dust": lambda: sheet(b"[0.00001] 0 d 0 0 m 400 400 l S " + TEXT),
    "a map without end": lambda: sheet(
        b"BT /F2 9 Tf 9 9 Td <0001> Tj ET", fonts={"F2": endless_map}
    ),
    "a table of samples in eight dimensions": lambda: sheet(
        b"/CS1 cs 1 1 1 1 1 1 1 1 scn 0 0 9 9 re f",
        resources={"ColorSpace": {"CS1": sampled_function}},
    ),
    "a mesh of endless rows": lambda: sheet(b"/S1 sh", resources={"Shading": {"S1": mesh}}),
    "a hundred thousand widths": broken_second_font,
    "a page as large as a country": lambda: sheet(TEXT, keys={
        "/MediaBox": Array([0, 0, 10**9, 10**9])}),
    "a page of no size": lambda: sheet(TEXT, keys={"/MediaBox": Array([5, 5, 5, 5])}),
    "a hundred thousand glyphs": lambda: sheet(
        b"BT /F1 1 Tf 9 9 Td (" + b"987-65-4320 " * 9000 + b") Tj ET"
    ),
    "forty thousand boxes": lambda: sheet(
        b" ".join(b"%d %d 1 1 re f" % (k % 200, k // 200) for k in range(40_000))
    ),
}  # fmt: skip
