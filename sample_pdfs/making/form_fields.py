"""Writes form fields (ISO 32000-2, 12.7) with their appearances into a finished PDF."""

from collections.abc import Sequence

import pikepdf
from pikepdf import Array, Dictionary, Name, String

from making.sheet import Blank

MULTI_CELL = 1 << 24
"""Field flag 25, comb."""
PRINTED = 4
"""Annotation flag 3, print."""
COURIER_WIDTH = 0.6
"""Width of every Courier glyph, in em."""


def _appearance(pdf: pikepdf.Pdf, spot: Blank, font: pikepdf.Object) -> pikepdf.Object:
    """The form XObject that shows the value, one glyph per cell in a comb."""
    parts = []
    base = (spot.h - spot.size * 0.62) / 2
    size = spot.size
    if spot.comb:
        cell = spot.w / spot.comb
        half = size * COURIER_WIDTH / 2
        for index, letter in enumerate(spot.value):
            parts.append(_show(letter, cell * (index + 0.5) - half, base, size))
    elif spot.value:
        length = len(spot.value) * COURIER_WIDTH * size
        if length > spot.w - 3:
            size *= (spot.w - 3) / length
            length = spot.w - 3
        left = {"l": 2.0, "r": spot.w - 2 - length, "c": (spot.w - length) / 2}[spot.align]
        parts.append(_show(spot.value, left, base, size))
    content = "/Tx BMC q " + " ".join(parts) + " Q EMC"
    stream = pdf.make_stream(content.encode("cp1252"))
    stream[Name.Type] = Name.XObject
    stream[Name.Subtype] = Name.Form
    stream[Name.BBox] = Array([0, 0, round(spot.w, 2), round(spot.h, 2)])
    stream[Name.Resources] = Dictionary(Font=Dictionary(Cour=font))
    return stream


def _show(words: str, x: float, y: float, size: float) -> str:
    escaped = words.replace("\\", r"\\").replace("(", r"\(").replace(")", r"\)")
    return f"BT 0 g /Cour {size:.2f} Tf {x:.2f} {y:.2f} Td ({escaped}) Tj ET"


def _widget(
    pdf: pikepdf.Pdf, page: pikepdf.Page, spot: Blank, font: pikepdf.Object
) -> pikepdf.Object:
    rect = [spot.x, spot.y, spot.x + spot.w, spot.y + spot.h]
    widget = Dictionary(
        Type=Name.Annot,
        Subtype=Name.Widget,
        FT=Name.Sig if spot.signature else Name.Tx,
        Rect=Array([round(v, 2) for v in rect]),
        F=PRINTED,
        P=page.obj,
    )
    if spot.tooltip:
        widget[Name.TU] = String(spot.tooltip)
    if not spot.signature:
        widget[Name.DA] = String(f"/Cour {spot.size:g} Tf 0 g")
        widget[Name.V] = String(spot.value)
        widget[Name.Q] = {"l": 0, "c": 1, "r": 2}[spot.align]
        widget[Name.AP] = Dictionary(N=_appearance(pdf, spot, font))
        if spot.comb:
            widget[Name.MaxLen] = spot.comb
            widget[Name.Ff] = MULTI_CELL
    return pdf.make_indirect(widget)


def add_fields(pdf: pikepdf.Pdf, spots: Sequence[tuple[int, Blank]]) -> None:
    """Adds one field per place; dots in names make the levels of the field tree."""
    if not spots:
        return
    font = pdf.make_indirect(
        Dictionary(
            Type=Name.Font,
            Subtype=Name.Type1,
            BaseFont=Name.Courier,
            Encoding=Name.WinAnsiEncoding,
        )
    )
    roots: list[pikepdf.Object] = []
    levels: dict[str, pikepdf.Object] = {}
    for number, spot in spots:
        page = pdf.pages[number]
        widget = _widget(pdf, page, spot, font)
        *above, last = spot.name.split(".")
        widget[Name.T] = String(last)
        kids = roots
        parent: pikepdf.Object | None = None
        for depth in range(len(above)):
            path = ".".join(above[: depth + 1])
            if path not in levels:
                level = pdf.make_indirect(Dictionary(T=String(above[depth]), Kids=Array()))
                if parent is None:
                    roots.append(level)
                else:
                    level[Name.Parent] = parent
                    parent[Name.Kids].append(level)
                levels[path] = level
            parent = levels[path]
        if parent is None:
            kids.append(widget)
        else:
            widget[Name.Parent] = parent
            parent[Name.Kids].append(widget)
        if Name.Annots not in page.obj:
            page.obj[Name.Annots] = Array()
        page.obj[Name.Annots].append(widget)
    pdf.Root[Name.AcroForm] = pdf.make_indirect(
        Dictionary(
            Fields=Array(roots),
            DR=Dictionary(Font=Dictionary(Cour=font)),
            DA=String("/Cour 9 Tf 0 g"),
            SigFlags=1,
        )
    )
