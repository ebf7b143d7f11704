"""Pages on which no font tells a number: outlines, strokes, dots, clips, patterns, codes."""

import functools
import io
from collections.abc import Callable, Mapping

import pikepdf
import pymupdf
import zxingcpp
from pikepdf import Array, Dictionary, Name

from packets.masking.drawn_pictures import path_operators

NUMBER = "666-12-3481"
WIDTH, HEIGHT = 612, 792

_SEGMENTS = {
    "0": "abcdef", "1": "bc", "2": "abged", "3": "abgcd", "4": "fgbc", "5": "afgcd",
    "6": "afgedc", "7": "abc", "8": "abcdefg", "9": "abcdfg", "-": "g",
}  # fmt: skip
_LINES = {
    "a": (0, 2, 1, 2), "b": (1, 2, 1, 1), "c": (1, 1, 1, 0), "d": (0, 0, 1, 0),
    "e": (0, 0, 0, 1), "f": (0, 1, 0, 2), "g": (0, 1, 1, 1),
}  # fmt: skip
_DOTS = {
    "1": "00100 01100 00100 00100 00100 00100 01110",
    "2": "01110 10001 00001 00110 01000 10000 11111",
    "3": "01110 10001 00001 00110 00001 10001 01110",
    "4": "00010 00110 01010 10010 11111 00010 00010",
    "6": "00110 01000 10000 11110 10001 10001 01110",
    "8": "01110 10001 10001 01110 10001 10001 01110",
    "-": "00000 00000 00000 11111 00000 00000 00000",
}


def page_of(
    content: bytes | str,
    resources: Mapping[str, object] | Callable[[pikepdf.Pdf], Mapping[str, object]] = {},  # noqa: B006 - only read
    rotate: int = 0,
) -> bytes:
    """One page with Helvetica as /F1 and the resources named."""
    with pikepdf.new() as document:
        document.add_blank_page(page_size=(WIDTH, HEIGHT))
        page = document.pages[0].obj
        font = Dictionary(Type=Name.Font, Subtype=Name.Type1, BaseFont=Name.Helvetica)
        more = resources(document) if callable(resources) else resources
        fonts = {"/F1": font, **dict(more.get("Font", {}))}  # type: ignore[call-overload]
        page.Resources = Dictionary({f"/{key}": value for key, value in more.items()})
        page.Resources.Font = Dictionary(fonts)
        data = content.encode() if isinstance(content, str) else content
        page.Contents = document.make_stream(data)
        if rotate:
            page.Rotate = rotate
        out = io.BytesIO()
        document.save(out, deterministic_id=True)
        return out.getvalue()


def words(text: str, x: float, y: float, size: float = 10) -> str:
    return f"BT /F1 {size} Tf {x} {y} Td ({text}) Tj ET\n"


@functools.cache
def outline(
    text: str = NUMBER, x: float = 72, y: float = 500, size: float = 14, face: str = "helv"
) -> str:
    """Path construction operators for the outlines of a text; no painting operator."""
    with pymupdf.open() as written:
        page = written.new_page(width=WIDTH, height=HEIGHT)
        page.insert_text((x, HEIGHT - y), text, fontsize=size, fontname=face)
        svg = page.get_svg_image(text_as_path=True)
    with pymupdf.open("svg", svg.encode()) as shapes:
        data = shapes.convert_to_pdf()
    lines = []
    with pymupdf.open(stream=data) as document:
        for path in document[0].get_cdrawings():
            lines.extend(path_operators([_upright(item) for item in path["items"]]))
    return "\n".join(lines) + "\n"


def _upright(item: tuple[object, ...]) -> tuple[object, ...]:
    if item[0] == "re":
        x0, y0, x1, y1 = item[1]  # type: ignore[misc]
        return ("re", (x0, HEIGHT - y1, x1, HEIGHT - y0), -item[2])  # type: ignore[operator]
    return (item[0], *((x, HEIGHT - y) for x, y in item[1:]))  # type: ignore[misc]


def separate(text: str = NUMBER, **place: float) -> str:
    """Each letter a path object of its own, filled."""
    letters, x = [], place.get("x", 72.0)
    size = place.get("size", 14.0)
    for char in text:
        if char != " ":
            letters.append(outline(char, x, place.get("y", 500.0), size) + "f\n")
        x += pymupdf.Font("helv").text_length(char, size)
    return "".join(letters)


def segments(
    text: str = NUMBER, x: float = 72, y: float = 500, height: float = 12, *, one_path: bool = False
) -> str:
    """Digits of a display, each segment a stroke."""
    lines = ["1.2 w"]
    for char in text:
        for name in _SEGMENTS[char]:
            x0, y0, x1, y1 = _LINES[name]
            half = height / 2
            ends = (x + x0 * half, y + y0 * half, x + x1 * half, y + y1 * half)
            lines.append("{:.2f} {:.2f} m {:.2f} {:.2f} l".format(*ends))
            if not one_path:
                lines.append("S")
        x += 0.75 * height
    return "\n".join([*lines, "S" if one_path else ""]) + "\n"


def dots(text: str = NUMBER, x: float = 72, y: float = 500, side: float = 1.4) -> str:
    """Digits of a printer, each dot a small square."""
    lines = ["0 g"]
    for char in text:
        for row, bits in enumerate(_DOTS[char].split()):
            for column, bit in enumerate(bits):
                if bit == "1":
                    place = (x + column * side, y + (6 - row) * side)
                    lines.append(f"{place[0]:.2f} {place[1]:.2f} {side} {side} re f")
        x += 6.4 * side
    return "\n".join(lines) + "\n"


def code(
    content: str,
    kind: zxingcpp.BarcodeFormat,
    module: float = 1.2,
    *,
    one_path: bool = False,
    spoiled: bool = False,
) -> str:
    """A bar code, each run of dark modules a rectangle."""
    view = memoryview(
        zxingcpp.write_barcode_to_image(zxingcpp.create_barcode(content, kind), scale=1)
    )
    rows, columns = view.shape[:2]
    bits = view.tobytes()
    lines = ["0 g"]
    for row in range(rows):
        start = None
        for column in range(columns + 1):
            dark = column < columns and (bits[row * columns + column] < 128) != (
                spoiled and (row + column) % 7 == 0
            )
            if dark and start is None:
                start = column
            elif not dark and start is not None:
                place = (90 + start * module, 500 - row * module, (column - start) * module)
                lines.append(f"{place[0]:.2f} {place[1]:.2f} {place[2]:.2f} {module} re")
                lines.append("" if one_path else "f")
                start = None
    return "\n".join([*lines, "f" if one_path else ""]) + "\n"


def shading(document: pikepdf.Pdf) -> Mapping[str, object]:
    fade = Dictionary(FunctionType=2, Domain=[0, 1], C0=[0, 0, 0], C1=[0, 0.5, 0], N=1)
    return {
        "Shading": Dictionary(
            S1=Dictionary(
                ShadingType=2, ColorSpace=Name.DeviceRGB, Coords=[0, 0, 600, 0], Function=fade
            )
        )
    }


def pattern(content: str, step: float = 400) -> Callable[[pikepdf.Pdf], Mapping[str, object]]:
    def resources(document: pikepdf.Pdf) -> Mapping[str, object]:
        tile = document.make_stream(content.encode())
        tile.PatternType, tile.PaintType, tile.TilingType = 1, 1, 1
        tile.BBox, tile.XStep, tile.YStep = Array([0, 0, step, step]), step, step
        tile.Matrix, tile.Resources = Array([1, 0, 0, 1, 60, 300]), Dictionary()
        return {"Pattern": Dictionary(P1=tile)}

    return resources


def form(content: str, **keys: object) -> Callable[[pikepdf.Pdf], Mapping[str, object]]:
    def resources(document: pikepdf.Pdf) -> Mapping[str, object]:
        drawing = document.make_stream(content.encode())
        drawing.Type, drawing.Subtype = Name.XObject, Name.Form
        drawing.BBox = Array([0, 0, WIDTH, HEIGHT])
        for key, value in keys.items():
            drawing[f"/{key}"] = value
        return {"XObject": Dictionary(Fm1=document.make_indirect(drawing))}

    return resources


def soft_mask(content: str) -> Callable[[pikepdf.Pdf], Mapping[str, object]]:
    def resources(document: pikepdf.Pdf) -> Mapping[str, object]:
        group = Dictionary(S=Name.Transparency, CS=Name.DeviceGray)
        drawing = form(content, Group=group)(document)["XObject"].Fm1  # type: ignore[attr-defined]
        mask = Dictionary(Type=Name.Mask, S=Name.Luminosity, G=drawing)
        return {"ExtGState": Dictionary(G1=Dictionary(SMask=mask))}

    return resources
