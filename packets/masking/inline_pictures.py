"""Inline pictures (ISO 32000-2, 8.9.7) made into ordinary ones, so that they are read and masked.

Only those large enough to show a number: bitmap letters and bullets stay as
they are. Nothing about how the page looks changes.
"""

from collections.abc import Iterator

import pikepdf
from pikepdf import ContentStreamInlineImage, ContentStreamInstruction, Dictionary, Name, Operator

from packets.masking.bare_pictures import bare_picture
from packets.masking.content_streams import Instruction
from packets.masking.resources import Resources
from packets.masking.text_state import numbers_of

SMALLEST_SIDE = 12
"""A picture with a side of fewer pixels than this cannot show nine legible digits."""
_END_OF_LINE = 2
"""The white space before EI may come with the data."""
_KEYS = (
    "/Width", "/Height", "/BitsPerComponent", "/ColorSpace", "/Decode", "/DecodeParms",
    "/Filter", "/ImageMask", "/Interpolate", "/Intent",
)  # fmt: skip


def move_inline_pictures(document: pikepdf.Pdf) -> bool:
    """Turn inline pictures of every page, form and pattern into ordinary ones; whether any was."""
    moved = False
    for page in document.pages:
        if b"BI" in _content(page):
            new = _without_inline(document, page.obj, page.get("/Resources"))
            if new is not None:
                page.obj.Contents = document.make_stream(new[0])
                page.obj.Resources = new[1]
                moved = True
    for drawing in _drawings(document):
        if b"BI" in _bytes(drawing):
            new = _without_inline(document, drawing, drawing.get("/Resources"))
            if new is not None:
                drawing.write(new[0])
                drawing.Resources = new[1]
                moved = True
    return moved


def _content(page: pikepdf.Page) -> bytes:
    contents = page.obj.get("/Contents")
    parts = list(contents) if isinstance(contents, pikepdf.Array) else [contents]
    return b" ".join(_bytes(part) for part in parts if isinstance(part, pikepdf.Stream))


def _bytes(stream: pikepdf.Stream) -> bytes:
    """Decoded content; nothing where it cannot be decoded, which the rebuild will refuse."""
    try:
        return bytes(stream.read_bytes())
    except pikepdf.PdfError:
        return b""


def _drawings(document: pikepdf.Pdf) -> Iterator[pikepdf.Stream]:
    for item in document.objects:
        if isinstance(item, pikepdf.Stream) and (
            item.get("/Subtype") == Name.Form or item.get("/PatternType") == 1
        ):
            yield item


def _without_inline(
    document: pikepdf.Pdf, holder: pikepdf.Object, resources: pikepdf.Object | None
) -> tuple[bytes, pikepdf.Object] | None:
    own = Resources(resources if isinstance(resources, Dictionary) else Dictionary())
    out: list[Instruction] = []
    moved = False
    for instruction in pikepdf.parse_content_stream(holder):
        picture = _ordinary(document, instruction, own)
        if picture is None:
            out.append(instruction)
        else:
            name = own.add("/XObject", picture)
            out.append(ContentStreamInstruction([name], Operator("Do")))
            moved = True
    return (pikepdf.unparse_content_stream(out), own.result) if moved else None


def _ordinary(
    document: pikepdf.Pdf, instruction: Instruction, own: Resources
) -> pikepdf.Object | None:
    """The inline picture of an instruction as a stream of its own, if it is large enough."""
    if not isinstance(instruction, ContentStreamInlineImage) or instruction.iimage is None:
        return None
    inline = instruction.iimage
    sides = numbers_of([inline.obj.get("/Width"), inline.obj.get("/Height")])
    small = len(sides) == 2 and min(sides) < SMALLEST_SIDE
    if small and _is_bare(document, inline):
        return None
    picture = _stream(document, inline)
    picture.Type, picture.Subtype = Name.XObject, Name.Image
    named = own.find("/ColorSpace", inline.obj.get("/ColorSpace"))
    if named is not None and isinstance(inline.obj.get("/ColorSpace"), Name):
        picture.ColorSpace = named
    return picture


def _stream(document: pikepdf.Pdf, inline: pikepdf.PdfInlineImage) -> pikepdf.Stream:
    picture = document.make_stream(inline.read_raw_bytes())
    for key in _KEYS:
        value = inline.obj.get(key)
        if value is not None:
            picture[key] = value
    return picture


def _is_bare(document: pikepdf.Pdf, inline: pikepdf.PdfInlineImage) -> bool:
    """Whether it has no keys and no data beyond what draws it."""
    if not set(inline.obj.keys()) <= {*_KEYS, "/Length"}:
        return False
    picture = _stream(document, inline)
    bare = bare_picture(picture, document)
    return bare.filter is None and len(bare.data) >= len(picture.read_raw_bytes()) - _END_OF_LINE
