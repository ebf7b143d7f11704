"""Layers (optional content, ISO 32000-2, 8.11): content of those that are off is taken out."""

from dataclasses import dataclass, field

import pikepdf
from pikepdf import Dictionary, Name, Object, Operator

from packets.base.limits import DEFAULT_LIMITS
from packets.masking.content_streams import Instruction, operator_of
from packets.signatures.form_fields import array, dictionary, inherited

PAINT = {"f", "F", "f*", "S", "s", "B", "B*", "b", "b*"}
GONE = {"Tj", "TJ", "Do", "sh", "BDC", "BMC", "EMC", "MP", "DP"}


@dataclass
class Layers:
    """Which layers of a document are off when it is printed."""

    document: pikepdf.Pdf
    present: bool
    off: set[tuple[int, int]] = field(default_factory=set)
    notes: list[str] = field(default_factory=list)

    @classmethod
    def of(cls, document: pikepdf.Pdf) -> "Layers":
        """Read the default configuration and what it says for print (8.11.4.3, 8.11.4.5)."""
        properties = dictionary(document.Root.get("/OCProperties"))
        if properties is None:
            return cls(document, present=False)
        default = dictionary(properties.get("/D")) or Dictionary()
        every = array(properties.get("/OCGs"))
        off = {group.objgen for group in every} if default.get("/BaseState") == Name.OFF else set()
        off -= {group.objgen for group in array(default.get("/ON"))}
        off |= {group.objgen for group in array(default.get("/OFF"))}
        for event in array(default.get("/AS")):
            if isinstance(event, Dictionary) and event.get("/Event") == Name.Print:
                for group in array(event.get("/OCGs")):
                    state = _print_state(group)
                    if state is not None:
                        (off.discard if state else off.add)(group.objgen)
        return cls(document, present=True, off=off)

    def hides(self, membership: Object | None, depth: int = 0) -> bool:
        """Whether a group or membership dictionary (8.11.2) hides its content."""
        if not self.present or not isinstance(membership, Dictionary):
            return False
        if membership.get("/Type") != Name.OCMD:
            return membership.objgen in self.off
        expression = array(membership.get("/VE"))
        if expression:
            return not self._true(expression, depth)
        groups = membership.get("/OCGs")
        listed = [groups] if isinstance(groups, Dictionary) else array(groups)
        states = [item.objgen not in self.off for item in listed if isinstance(item, Dictionary)]
        if not states:
            return False
        policy = str(membership.get("/P", Name.AnyOn))
        visible = {
            "/AllOn": all(states),
            "/AnyOff": not all(states),
            "/AllOff": not any(states),
        }.get(policy, any(states))
        return not visible

    def resolve(self) -> None:
        """Take hidden content out of every page, form and pattern, and the layer marks with it."""
        if not self.present:
            return
        taken = 0
        for page in self.document.pages:
            resources = dictionary(inherited(page.obj, "/Resources"))
            kept, count = self._without_hidden(page, resources)
            page.obj["/Contents"] = self.document.make_stream(kept)
            taken += count
        for item in self.document.objects:
            if isinstance(item, pikepdf.Stream) and (
                item.get("/Subtype") == Name.Form or item.get("/PatternType") == 1
            ):
                kept, count = self._without_hidden(item, dictionary(item.get("/Resources")))
                item.write(kept)
                taken += count
        self.document.remove_unreferenced_resources()
        if taken:
            self.notes.append(f"{taken} pieces of content in layers that are off were removed.")

    def _without_hidden(
        self, content: pikepdf.Page | pikepdf.Stream, resources: Object | None
    ) -> tuple[bytes, int]:
        kept: list[Instruction] = []
        marks: list[tuple[bool, bool]] = []
        """For each open marked content: is it a layer, does it hide."""
        taken = 0
        for instruction in pikepdf.parse_content_stream(content):
            operator = operator_of(instruction)
            hidden = any(hides for _, hides in marks)
            if operator in ("BDC", "BMC"):
                layer, hides = self._mark(instruction, resources)
                marks.append((layer, hides))
                taken += hides
                if layer or hidden:
                    continue
            elif operator == "EMC" and marks:
                layer, _ = marks.pop()
                if layer or any(hides for _, hides in marks):
                    continue
            elif operator == "Do" and self._hidden_object(instruction, resources):
                taken += 1
                continue
            kept += _unseen(instruction) if hidden else [instruction]
        return pikepdf.unparse_content_stream(kept), taken

    def _mark(self, instruction: Instruction, resources: Object | None) -> tuple[bool, bool]:
        operands = list(instruction.operands)
        if len(operands) < 2 or operands[0] != Name.OC:
            return False, False
        group = _entry(resources, "/Properties", operands[1])
        return True, self.hides(group)

    def _hidden_object(self, instruction: Instruction, resources: Object | None) -> bool:
        operands = list(instruction.operands)
        drawn = _entry(resources, "/XObject", operands[0]) if operands else None
        return isinstance(drawn, pikepdf.Stream) and self.hides(drawn.get("/OC"))

    def _true(self, expression: list[Object], depth: int) -> bool:
        """A visibility expression: a group, or And, Or, Not over expressions (8.11.2.2)."""
        if depth > DEFAULT_LIMITS.nesting:
            return True
        values = [
            self._true(array(item), depth + 1) if array(item) else not self.hides(item, depth + 1)
            for item in expression[1:]
        ]
        operator = str(expression[0])
        if operator == "/Not":
            return not (values and values[0])
        return any(values) if operator == "/Or" else all(values)


def _print_state(group: Object) -> bool | None:
    usage = dictionary(group.get("/Usage")) if isinstance(group, Dictionary) else None
    printing = dictionary(usage.get("/Print")) if usage is not None else None
    state = printing.get("/PrintState") if printing is not None else None
    return {"/ON": True, "/OFF": False}.get(str(state)) if state is not None else None


def _entry(resources: Object | None, kind: str, name: object) -> Object | None:
    listed = dictionary(resources.get(kind)) if resources is not None else None
    return listed.get(str(name)) if listed is not None and isinstance(name, Name) else None


def _unseen(
    instruction: Instruction,
) -> list[Instruction]:
    """The instruction's effect on the graphics state alone, without anything painted."""
    if not isinstance(instruction, pikepdf.ContentStreamInstruction):
        return []
    operator = operator_of(instruction)
    if operator in PAINT:
        return [pikepdf.ContentStreamInstruction([], Operator("n"))]
    if operator in GONE:
        return []
    next_line = pikepdf.ContentStreamInstruction([], Operator("T*"))
    if operator == "'":
        return [next_line]
    if operator == '"':
        words, letters = list(instruction.operands)[:2]
        return [
            pikepdf.ContentStreamInstruction([words], Operator("Tw")),
            pikepdf.ContentStreamInstruction([letters], Operator("Tc")),
            next_line,
        ]
    return [instruction]
