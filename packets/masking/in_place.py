"""Take glyphs out of content streams and set the mask where they stood.

The stream is followed operator by operator (ISO 32000-2, 9.4). Where a shown
string holds a code that is a target, the string is split: what stands before
and after stays byte for byte, the codes themselves are gone, and the mask is
shown between in a standard font of the same size, colour and rendering mode,
each mask character in the cell of the digit it replaces. So reading order,
neighbours and spacing stay, and the text copies out with the mask in its place.

Form XObjects are followed where they are drawn; a form in which something is
masked is copied, and only that drawing of it uses the copy.
"""

from dataclasses import dataclass, field, replace

import pikepdf
from pikepdf import (
    ContentStreamInlineImage,
    ContentStreamInstruction,
    Dictionary,
    Name,
    Operator,
)

from packets.base.errors import OverLimit
from packets.masking.font_widths import FontWidths, UnknownFont, read_widths
from packets.masking.matrices import IDENTITY, Matrix
from packets.masking.resources import Resources
from packets.masking.shown_text import ShownText
from packets.masking.targets import Targets
from packets.masking.text_state import TextMachine, TextState, numbers_of

Instruction = ContentStreamInstruction | ContentStreamInlineImage

_SHOWS = frozenset({"Tj", "TJ", "'", '"'})
_DEEPEST = 20


@dataclass
class InPlaceMasker:
    """Masks the pages of one document. Remembers fonts and mask fonts between pages."""

    pdf: pikepdf.Pdf
    _fonts: dict[tuple[int, int], FontWidths | None] = field(default_factory=dict)
    _mask_font: pikepdf.Object | None = None

    def mask_page(self, page: pikepdf.Page, targets: Targets) -> bool:
        """Mask what `targets` names on a page: all of it, or nothing at all.

        False when some target was not met; the page is then as it was.
        """
        resources = page.obj.get("/Resources")
        if resources is None:
            resources = page.obj.Resources = Dictionary()
        new = self._masked_stream(page.obj, resources, TextState(), targets, 0)
        if new is None or targets.missed:
            return False
        content, resources = new
        page.obj.Resources = resources
        page.obj.Contents = self.pdf.make_stream(content)
        return True

    def _masked_stream(
        self,
        holder: pikepdf.Object,
        resources: pikepdf.Object,
        start: TextState,
        targets: Targets,
        depth: int,
    ) -> tuple[bytes, pikepdf.Object] | None:
        """New content and resources of a page or form, or None when nothing in it is hit."""
        if depth > _DEEPEST:
            raise OverLimit("forms are nested too deeply inside one another")
        machine = TextMachine(start)
        out: list[Instruction] = []
        own = Resources(resources)
        changed = False
        for instruction in pikepdf.parse_content_stream(holder):
            operator = str(instruction.operator)
            if operator in _SHOWS:
                changed |= self._show(machine, instruction, operator, own, targets, out)
            elif operator == "Do":
                changed |= self._draw(machine, instruction, own, targets, out, depth)
            else:
                _follow(machine, instruction, operator)
                out.append(instruction)
        return (pikepdf.unparse_content_stream(out), own.result) if changed else None

    def _draw(
        self,
        machine: TextMachine,
        instruction: Instruction,
        own: Resources,
        targets: Targets,
        out: list[Instruction],
        depth: int,
    ) -> bool:
        form = own.find("/XObject", instruction.operands[0] if instruction.operands else None)
        if not isinstance(form, pikepdf.Stream) or form.get("/Subtype") != Name.Form:
            out.append(instruction)
            return False
        matrix = numbers_of(list(form.get("/Matrix", [])))
        ctm = (Matrix(*matrix) if len(matrix) == 6 else IDENTITY).times(machine.state.ctm)
        inner = form.get("/Resources", own.result)
        start = replace(machine.state, ctm=ctm)
        new = self._masked_stream(form, inner, start, targets, depth + 1)
        if new is None:
            out.append(instruction)
            return False
        copy = self.pdf.make_stream(new[0])
        for key, value in form.items():
            if key not in ("/Length", "/Filter", "/DecodeParms"):
                copy[key] = value
        copy.Resources = new[1]
        name = own.add("/XObject", copy)
        out.append(ContentStreamInstruction([name], Operator("Do")))
        return True

    def _show(
        self,
        machine: TextMachine,
        instruction: Instruction,
        operator: str,
        own: Resources,
        targets: Targets,
        out: list[Instruction],
    ) -> bool:
        operands = list(instruction.operands)
        widths = self._widths(own, machine.state.font)
        if operator in ("'", '"'):
            if operator == '"' and len(operands) == 3:
                spaces = numbers_of(operands[:2])
                machine.put(word_space=spaces[0], char_space=spaces[1])
            machine.follow("T*", [], "")
        if widths is None or not operands:
            out.append(instruction)
            return False
        shown = ShownText(machine, widths, targets)
        shown.read(operands[-1])
        if not shown.hits:
            out.append(instruction)
            return False
        if operator == '"' and len(operands) == 3:
            out.append(ContentStreamInstruction([operands[0]], Operator("Tw")))
            out.append(ContentStreamInstruction([operands[1]], Operator("Tc")))
        if operator in ("'", '"'):
            out.append(ContentStreamInstruction([], Operator("T*")))
        font = own.add("/Font", self._helvetica())
        out.extend(shown.instructions(font))
        return True

    def _widths(self, own: Resources, font_name: str) -> FontWidths | None:
        font = own.find("/Font", font_name)
        if font is None or not isinstance(font, pikepdf.Dictionary):
            return None
        key = font.objgen
        if key == (0, 0):
            return _try_widths(font)
        if key not in self._fonts:
            self._fonts[key] = _try_widths(font)
        return self._fonts[key]

    def _helvetica(self) -> pikepdf.Object:
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


def _try_widths(font: pikepdf.Object) -> FontWidths | None:
    try:
        return read_widths(font)
    except UnknownFont:
        return None


def _follow(machine: TextMachine, instruction: Instruction, operator: str) -> None:
    operands = list(instruction.operands)
    name = str(operands[0]) if operator == "Tf" and operands else ""
    machine.follow(operator, numbers_of(operands), name)
