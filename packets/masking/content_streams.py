"""Content streams on their way into a packet: written anew from what draws, and nothing else.

Marked content (ISO 32000-2, 14.6) carries structure, alternative text and
layers; comments, unknown operators and surplus operands are passed over by
every reader. Nothing of it is seen, and any of it can hold a number. What
draws is written as it was.
"""

from dataclasses import dataclass, field
from decimal import Decimal
from operator import is_

import pikepdf
from pikepdf import (
    Array,
    ContentStreamInlineImage,
    ContentStreamInstruction,
    Dictionary,
    Name,
    Object,
    Operator,
    String,
)

from packets.masking.judged_streams import JudgedStreams
from packets.masking.kept_streams import content_parts, decoded
from packets.masking.plain_content import namings, sets_font_first
from packets.masking.resource_names import Renaming

_OPERANDS = {
    "b": 0, "B": 0, "b*": 0, "B*": 0, "BT": 0, "c": 6, "cm": 6, "CS": 1, "cs": 1, "d": 2,
    "d0": 2, "d1": 6, "Do": 1, "ET": 0, "f": 0, "F": 0, "f*": 0, "G": 1, "g": 1, "gs": 1, "h": 0,
    "i": 1, "j": 1, "J": 1, "K": 4, "k": 4, "l": 2, "m": 2, "M": 1, "n": 0, "q": 0, "Q": 0,
    "re": 4, "RG": 3, "rg": 3, "ri": 1, "s": 0, "S": 0, "SC": 32, "sc": 32, "SCN": 33, "scn": 33,
    "sh": 1, "T*": 0, "Tc": 1, "Td": 2, "TD": 2, "Tf": 2, "Tj": 1, "TJ": 1, "TL": 1, "Tm": 6,
    "Tr": 1, "Ts": 1, "Tw": 1, "Tz": 1, "v": 4, "w": 1, "W": 0, "W*": 0, "y": 4, "'": 1, '"': 3,
}  # fmt: skip
"""Annex A: the operators that draw or set the state, and how many operands each takes at most."""
_SHOWS = frozenset({"Tj", "TJ", "'", '"'})
_NAMING = {
    "Do": "/XObject", "gs": "/ExtGState", "sh": "/Shading", "Tf": "/Font", "cs": "/ColorSpace",
    "CS": "/ColorSpace", "scn": "/Pattern", "SCN": "/Pattern",
}  # fmt: skip
_BUILT_IN = frozenset(
    {"/DeviceGray", "/DeviceRGB", "/DeviceCMYK", "/Pattern", "/CalGray", "/CalRGB"}
)
_INTENTS = frozenset(
    {"/AbsoluteColorimetric", "/RelativeColorimetric", "/Saturation", "/Perceptual"}
)

Instruction = ContentStreamInstruction | ContentStreamInlineImage
Operand = Object | int | float | Decimal | Array


@dataclass(frozen=True)
class CleanContent:
    """A content stream written anew."""

    data: bytes
    names: frozenset[str]
    """Resource names that it uses, as they were."""


def cleaned(
    holder: Object,
    resources: object,
    renaming: Renaming,
    *,
    font_in_force: bool = True,
    judged: JudgedStreams | None = None,
) -> CleanContent:
    """The content of a page or stream without anything that does not draw.

    `resources` are those its names are looked up in; None: those of whatever
    draws it, which are not known here. With `font_in_force` a drawing may inherit
    a font; without, text shown before any font is set goes, which is not drawn.
    `judged`: what is known of the document's streams.
    Raises Damaged or OverLimit for what cannot be decoded or is too large.
    """
    plain = (judged or JudgedStreams()).bare(content_of(holder))
    if plain is not None and (font_in_force or sets_font_first(plain)):
        kept = _kept_whole(plain, resources, renaming)
        if kept is not None:
            return kept
    cleaning = _Cleaning(resources, renaming, font=font_in_force)
    for instruction in pikepdf.parse_content_stream(holder):
        cleaning.take(instruction)
    return CleanContent(pikepdf.unparse_content_stream(cleaning.out), frozenset(cleaning.names))


def content_of(holder: Object) -> bytes:
    """The whole content of a page, or of a stream; parts are apart by a newline (7.8.2).

    Raises Damaged or OverLimit for what cannot be decoded or is too large.
    """
    return b"\n".join(map(decoded, content_parts(holder)))


def _kept_whole(plain: bytes, resources: object, renaming: Renaming) -> CleanContent | None:
    """A plain stream as it is when nothing in it would be left out or renamed; else None."""
    names = set()
    for use in sorted(namings(plain), key=lambda use: use.name):  # new names go by this order
        kind = _NAMING[use.operator]
        if kind == "/ColorSpace" and use.name in _BUILT_IN:
            continue
        if renaming.of(use.name) != use.name:
            return None
        if use.operator in ("Do", "gs", "sh") and not is_defined(resources, kind, use.name):
            return None
        names.add(use.name)
    return CleanContent(plain, frozenset(names))


def is_defined(resources: object, kind: str, name: str) -> bool:
    """Whether resources define a name; those of whatever draws a stream (None) may."""
    if resources is None:
        return True
    entries = resources.get(kind) if isinstance(resources, Dictionary) else None
    return isinstance(entries, Dictionary) and name in entries


def operator_of(instruction: Instruction) -> str:
    """The operator's name; empty for bytes that are none."""
    try:
        return str(instruction.operator)
    except UnicodeDecodeError:
        return ""


@dataclass
class _Cleaning:
    resources: object
    renaming: Renaming
    font: bool
    out: list[Instruction] = field(default_factory=list)
    names: set[str] = field(default_factory=set)
    _fonts: list[bool] = field(default_factory=list)

    def take(self, instruction: Instruction) -> None:
        if isinstance(instruction, ContentStreamInlineImage):
            self._take_inline(instruction)
            return
        operator = operator_of(instruction)
        most = _OPERANDS.get(operator)
        if most is None:
            return
        self._follow(operator)
        given: list[Operand] = list(instruction.operands)
        operands = [_shown_items(value) if operator == "TJ" else value for value in given]
        kept = [value for value in operands[-most:] if _fits(value, operator)] if most else []
        if operator in _SHOWS and (not self.font or not kept):
            return
        if operator == "ri" and (not kept or str(kept[0]) not in _INTENTS):
            return
        if operator in _NAMING and not self._name(kept, operator):
            return
        if len(kept) == len(given) and all(map(is_, kept, given)):
            self.out.append(instruction)
        else:
            self.out.append(ContentStreamInstruction(kept, Operator(operator)))

    def _follow(self, operator: str) -> None:
        if operator == "q":
            self._fonts.append(self.font)
        elif operator == "Q" and self._fonts:
            self.font = self._fonts.pop()
        elif operator in ("Tf", "gs"):
            self.font = True

    def _name(self, operands: list[Operand], operator: str) -> bool:
        """Note the resource name among the operands, renamed if need be; False: leave it out."""
        for at, value in enumerate(operands):
            if not isinstance(value, Name):
                continue
            name = str(value)
            if name in _BUILT_IN and operator in ("cs", "CS"):
                return True
            self.names.add(name)
            if operator in ("Do", "gs", "sh") and not is_defined(
                self.resources, _NAMING[operator], name
            ):
                return False
            new = self.renaming.of(name)
            if new != name:
                operands[at] = Name(new)
        return True

    def _take_inline(self, instruction: ContentStreamInlineImage) -> None:
        space = instruction.iimage.obj.get("/ColorSpace") if instruction.iimage else None
        if isinstance(space, Name):
            self.names.add(str(space))
        self.out.append(instruction)


def _shown_items(value: Operand) -> Operand:
    """The array of a TJ without items that are neither string nor number."""
    if not isinstance(value, Array):
        return value
    items = [item for item in value if isinstance(item, String) or _is_number(item)]
    return value if len(items) == len(value) else Array(items)


def _fits(value: object, operator: str) -> bool:
    """Whether an operand is of a type that the operator takes."""
    if isinstance(value, String):
        return operator in ("Tj", "'", '"')
    if isinstance(value, Array):
        return operator == "TJ" or (operator == "d" and all(map(_is_number, value)))
    if isinstance(value, Name):
        return operator in _NAMING or operator == "ri"
    return _is_number(value)


def _is_number(value: object) -> bool:
    return isinstance(value, (int, float, Decimal)) and not isinstance(value, bool)
