"""Whether an appearance shows anything, and what it shows as text, roughly."""

import pikepdf
from pikepdf import Dictionary, Name, Object, Stream

TEXT = {"Tj", "TJ", "'", '"'}
PICTURES = {"Do", "sh", "INLINE IMAGE", "BI"}


def normal_appearance(annotation: Object) -> Stream | None:
    """The appearance that is shown: /AP /N, or its state that /AS names (12.5.5)."""
    appearances = annotation.get("/AP")
    if not isinstance(appearances, Dictionary):
        return None
    normal = appearances.get("/N")
    if isinstance(normal, Stream):
        return normal
    state = annotation.get("/AS")
    if isinstance(normal, Dictionary) and isinstance(state, Name):
        chosen = normal.get(str(state))
        return chosen if isinstance(chosen, Stream) else None
    return None


def shows_content(appearance: Stream | None) -> bool:
    """Whether an appearance paints letters or a picture; a bare box or ground does not count."""
    if appearance is None:
        return False
    wanted = " ".join((TEXT | PICTURES) - {"INLINE IMAGE", "BI"}) + " BI ID EI"
    for instruction in pikepdf.parse_content_stream(appearance, wanted):
        if not isinstance(instruction, pikepdf.ContentStreamInstruction):
            return True  # an inline image
        operator = str(instruction.operator)
        if operator in PICTURES or _has_letters(list(instruction.operands)):
            return True
    return False


def _has_letters(operands: list[Object]) -> bool:
    for operand in operands:
        if isinstance(operand, pikepdf.String) and bytes(operand).strip():
            return True
        if isinstance(operand, pikepdf.Array) and _has_letters(list(operand)):
            return True
    return False
