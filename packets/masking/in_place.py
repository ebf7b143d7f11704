"""Take glyphs out of content streams and set the mask where they stood.

The stream is followed operator by operator (ISO 32000-2, 9.4). Where a shown
string holds a code that is a target, the string is split: what stands before
and after stays byte for byte, the codes themselves are gone, and the mask is
shown between in a standard font of the same size, colour and rendering mode,
each mask character in the cell of the digit it replaces. So reading order,
neighbours and spacing stay, and the text copies out with the mask in its place.

Forms, tiling patterns and soft masks are followed where they are drawn or set
(8.10, 8.7.3, 11.6.5.3); one in which something is masked is copied, and only
that use of it gets the copy.
"""

from dataclasses import dataclass, field, replace

import pikepdf
from pikepdf import (
    ContentStreamInstruction,
    Dictionary,
    Name,
    Operator,
)

from packets.base.errors import OverLimit
from packets.base.limits import DEFAULT_LIMITS
from packets.masking.content_streams import Instruction, operator_of
from packets.masking.drawing_bombs import MOST_DRAWINGS
from packets.masking.font_widths import FontWidths, UnknownFont, read_widths
from packets.masking.matrices import IDENTITY, Matrix
from packets.masking.resources import Resources, same_object
from packets.masking.shown_text import ShownText
from packets.masking.targets import Targets
from packets.masking.text_state import TextMachine, TextState, numbers_of

_SHOWS = frozenset({"Tj", "TJ", "'", '"'})


@dataclass
class InPlaceMasker:
    """Masks the pages of one document. Remembers fonts and mask fonts between pages."""

    pdf: pikepdf.Pdf
    rewritten: dict[tuple[int, int], list[Instruction]] = field(default_factory=dict)
    """New content of the pages that were masked, by object number."""
    _fonts: dict[tuple[int, int], FontWidths | None] = field(default_factory=dict)
    _mask_font: pikepdf.Object | None = None

    def mask_page(self, page: pikepdf.Page, targets: Targets) -> bool:
        """Mask what `targets` names on a page: all of it, or nothing at all.

        False when some target was not met; the page is then as it was.
        """
        resources = page.get("/Resources")
        if not isinstance(resources, Dictionary):
            resources = Dictionary()
        new = _PageMasking(self, targets).masked(page.obj, resources, TextState())
        if new is None or targets.missed:
            return False
        instructions, page.obj.Resources = new
        page.obj.Contents = self.pdf.make_stream(pikepdf.unparse_content_stream(instructions))
        self.rewritten[page.obj.objgen] = instructions
        return True

    def widths(self, font: object) -> FontWidths | None:
        """Widths of a font, or None where its dictionary does not tell them."""
        if not isinstance(font, Dictionary):
            return None
        key = font.objgen
        if key == (0, 0):
            return _try_widths(font)
        if key not in self._fonts:
            self._fonts[key] = _try_widths(font)
        return self._fonts[key]

    def helvetica(self) -> pikepdf.Object:
        """The font of the masks."""
        if self._mask_font is None:
            self._mask_font = self.pdf.make_indirect(
                Dictionary(
                    Type=Name.Font,
                    Subtype=Name.Type1,
                    BaseFont=Name.Helvetica,
                    Encoding=Name.WinAnsiEncoding,
                )
            )
        return self._mask_font


class _PageMasking:
    """One page on its way through: its targets, and the drawings it is inside of."""

    def __init__(self, masker: InPlaceMasker, targets: Targets) -> None:
        self._masker, self._targets = masker, targets
        self._inside: list[tuple[int, int]] = []
        self._drawings = 0

    def masked(
        self, holder: pikepdf.Object, resources: pikepdf.Object, start: TextState
    ) -> tuple[list[Instruction], pikepdf.Object] | None:
        """New content and resources of a page or drawing, or None when nothing in it is hit."""
        walk = _StreamWalk(self, resources, start)
        instructions = pikepdf.parse_content_stream(holder)
        for at, instruction in enumerate(instructions, start=1):
            walk.take(instruction)
            if self._targets.all_masked:  # the rest is as it was; numbers often stand at the top
                walk.out.extend(instructions[at:])
                break
        if not walk.changed:
            return None
        return walk.out, walk.own.result

    def masked_drawing(
        self, drawing: object, borrowed: pikepdf.Object, state: TextState
    ) -> pikepdf.Object | None:
        """A copy of a form or pattern without the targets, or None when it stays as it is.

        A drawing inside itself is not drawn (8.10.1 forbids it).
        """
        if not isinstance(drawing, pikepdf.Stream) or drawing.objgen in self._inside:
            return None
        self._drawings += 1
        if self._drawings > MOST_DRAWINGS or len(self._inside) > DEFAULT_LIMITS.nesting:
            raise OverLimit("a page draws too many forms, or forms too deep inside one another")
        matrix = numbers_of(list(drawing.get("/Matrix", [])))
        ctm = (Matrix(*matrix) if len(matrix) == 6 else IDENTITY).times(state.ctm)
        inner = drawing.get("/Resources", borrowed)
        self._inside.append(drawing.objgen)
        new = self.masked(drawing, inner, replace(state, ctm=ctm))
        self._inside.pop()
        if new is None:
            return None
        copy = self._masker.pdf.make_stream(pikepdf.unparse_content_stream(new[0]))
        for key, value in drawing.items():
            if key not in ("/Length", "/Filter", "/DecodeParms"):
                copy[key] = value
        copy.Resources = new[1]
        return copy

    def take_apart(self, machine: TextMachine, operand: object) -> ShownText | None:
        """A shown string with its targets found; None where its codes cannot be placed."""
        widths = self._masker.widths(machine.state.typeface)
        if widths is None:
            return None
        shown = ShownText(machine, widths, self._targets)
        shown.read(operand)
        return shown

    def mask_font(self, own: Resources) -> Name:
        """The name of the mask font in these resources."""
        return own.add("/Font", self._masker.helvetica())


class _StreamWalk:
    """One content stream followed operator by operator."""

    def __init__(self, page: _PageMasking, resources: pikepdf.Object, start: TextState) -> None:
        self._page, self._start = page, start
        self._machine = TextMachine(start)
        self.own = Resources(resources)
        self.out: list[Instruction] = []
        self.changed = False

    def take(self, instruction: Instruction) -> None:
        """Follow one instruction and write it out, changed or not."""
        operator = operator_of(instruction)
        if operator in _SHOWS:
            new = self._shown(list(instruction.operands), operator)
        elif operator == "Do":
            new = self._drawn(instruction)
        elif operator in ("scn", "SCN"):
            new = self._pattern(instruction, operator)
        elif operator == "gs":
            new = self._graphics_state(instruction)
        else:
            self._follow(instruction, operator)
            new = None
        self.changed |= new is not None
        self.out.extend([instruction] if new is None else new)

    def _follow(self, instruction: Instruction, operator: str) -> None:
        operands = list(instruction.operands)
        name = str(operands[0]) if operator == "Tf" and operands else ""
        self._machine.follow(operator, numbers_of(operands), name)
        if operator == "Tf":
            self._machine.put(typeface=self.own.find("/Font", name))

    def _drawn(self, instruction: Instruction) -> list[Instruction] | None:
        form = self.own.find("/XObject", _last(instruction))
        if not isinstance(form, pikepdf.Stream) or form.get("/Subtype") != Name.Form:
            return None
        copy = self._page.masked_drawing(form, self.own.result, self._machine.state)
        return None if copy is None else [_named(self.own.add("/XObject", copy), "Do")]

    def _pattern(self, instruction: Instruction, operator: str) -> list[Instruction] | None:
        pattern = self.own.find("/Pattern", _last(instruction))
        state = TextState(ctm=self._start.ctm)  # 8.7.3.1: not the matrix in force where it is set
        copy = self._page.masked_drawing(pattern, self.own.result, state)
        if copy is None:
            return None
        tints = list(instruction.operands)[:-1]
        name = self.own.add("/Pattern", copy)
        return [ContentStreamInstruction([*tints, name], Operator(operator))]

    def _graphics_state(self, instruction: Instruction) -> list[Instruction] | None:
        settings = self.own.find("/ExtGState", _last(instruction))
        if not isinstance(settings, Dictionary):
            return None
        font = settings.get("/Font")
        if isinstance(font, pikepdf.Array) and len(font) == 2:
            size = numbers_of([font[1]])
            self._machine.put(font="", typeface=font[0], size=size[0] if size else 0.0)
        soft = settings.get("/SMask")
        if not isinstance(soft, Dictionary):
            return None
        group = self._page.masked_drawing(soft.get("/G"), self.own.result, self._machine.state)
        if group is None:
            return None
        new_soft = Dictionary({**dict(soft.items()), "/G": group})
        copy = Dictionary({**dict(settings.items()), "/SMask": new_soft})
        return [_named(self.own.add("/ExtGState", copy), "gs")]

    def _shown(self, operands: list[pikepdf.Object], operator: str) -> list[Instruction] | None:
        machine = self._machine
        spaced = operator == '"' and len(operands) == 3
        if spaced:
            machine.put(word_space=_one(operands[0]), char_space=_one(operands[1]))
        if operator in ("'", '"'):
            machine.follow("T*", [], "")
        shown = self._page.take_apart(machine, operands[-1]) if operands else None
        if shown is None or not shown.hits:
            return None
        new: list[Instruction] = []
        if spaced:
            new.append(ContentStreamInstruction([operands[0]], Operator("Tw")))
            new.append(ContentStreamInstruction([operands[1]], Operator("Tc")))
        if operator in ("'", '"'):
            new.append(ContentStreamInstruction([], Operator("T*")))
        font = self._page.mask_font(self.own)
        return [*new, *shown.instructions(font, self._font_in_force())]

    def _font_in_force(self) -> Name:
        """A name for the font in force; a form may have it from the page that draws it."""
        state = self._machine.state
        if state.font and same_object(self.own.find("/Font", state.font), state.typeface):
            return Name(state.font)
        return self.own.add("/Font", state.typeface or Dictionary())


def _try_widths(font: pikepdf.Object) -> FontWidths | None:
    try:
        return read_widths(font)
    except UnknownFont:
        return None


def _last(instruction: Instruction) -> object:
    operands = list(instruction.operands)
    return operands[-1] if operands and isinstance(operands[-1], Name) else None


def _named(name: Name, operator: str) -> ContentStreamInstruction:
    return ContentStreamInstruction([name], Operator(operator))


def _one(operand: object) -> float:
    numbers = numbers_of([operand])
    return numbers[0] if numbers else 0.0
