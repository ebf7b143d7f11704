"""Blank government forms, filled in with invented figures as a tax program would fill them."""

import io
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pikepdf
from pikepdf.form import DefaultAppearanceStreamGenerator, Form

FORMS = Path(__file__).resolve().parents[3] / "shared" / "forms"
COMB = 1 << 24
READ_ONLY = 1
HIDDEN = 2 | 32
"""Annotation flags hidden and no view (ISO 32000-1, Table 165)."""
AMOUNT = "4,180"
BY_LENGTH = {11: "000-12-3456", 10: "00-4007263", 9: "666124567", 6: "418203", 5: "41827"}
COMBS = {17: "7700412839", 7: "4007263", 4: "7890", 3: "666", 2: "45"}
"""Three fields of 3, 2 and 4 cells make one number, as on Forms W-9 and SS-5."""
NUMBERS = {
    "with dashes": BY_LENGTH[11],
    "in nine cells": BY_LENGTH[9],
    "in three fields": "666-45-7890",
    "account": COMBS[17],
}


@dataclass(frozen=True)
class FilledForm:
    """A filled form, and how many amounts each of its pages now shows."""

    pdf: bytes
    amounts: dict[int, int]


def fill(path: Path, *, drawn: bool) -> FilledForm:
    """Fill every text field that a person sees and may change.

    What a field takes is known by its length and its cells alone, never by its
    name. With `drawn` the look of each field is drawn too; without, only its value
    is set, and it is left to the reader to draw it.
    """
    amounts: dict[int, int] = {}
    target = io.BytesIO()
    with pikepdf.open(path) as pdf:
        pages = {page.objgen: number for number, page in enumerate(pdf.pages, start=1)}
        form = Form(pdf, DefaultAppearanceStreamGenerator if drawn else None)
        for _, field in form.items():
            if not field.is_text or not _can_be_filled(field):
                continue
            text = text_for(field)
            if text:
                field.value = text
            if text == AMOUNT:
                page = pages[field._field.obj.P.objgen]
                amounts[page] = amounts.get(page, 0) + 1
            if not drawn and "/AP" in field._field.obj:
                del field._field.obj["/AP"]
        pdf.Root.AcroForm.NeedAppearances = not drawn
        pdf.save(target)
    return FilledForm(target.getvalue(), amounts)


def _can_be_filled(field: Any) -> bool:
    obj = field._field.obj
    return not int(obj.get("/F", 0)) & HIDDEN and not int(obj.get("/Ff", 0)) & READ_ONLY


def text_for(field: Any) -> str:
    """What goes into a field of this length; nothing where an amount does not fit."""
    length = field.max_length
    cells = int(field._field.obj.get("/Ff", 0)) & COMB
    if length is None:
        x0, _, x1, _ = (float(number) for number in field._field.obj.Rect)
        return AMOUNT if abs(x1 - x0) > 40 else ""
    if cells and length in COMBS:
        return COMBS[length]
    return BY_LENGTH.get(length, "")
