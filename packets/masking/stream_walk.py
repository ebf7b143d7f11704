"""One content stream followed operator by operator, and written again."""

from typing import Protocol

import pikepdf
from pikepdf import ContentStreamInstruction, Dictionary, Name, Operator

from packets.masking.absolute_text import MOVES, AbsoluteText
from packets.masking.content_streams import Instruction, operator_of
from packets.masking.resources import Resources, same_object
from packets.masking.shown_text import ShownText
from packets.masking.text_state import FOLLOWED, TextMachine, TextState, numbers_of

_SHOWS = frozenset({"Tj", "TJ", "'", '"'})
_HEEDED = _SHOWS | FOLLOWED | {"Do", "scn", "SCN", "gs"}
"""All other operators neither show anything nor decide where it stands."""
_BARE = frozenset({"q", "Q", "BT", "T*"})
"""Followed without a look at their operands: they take none."""


class PageInHand(Protocol):
    """What a stream asks of the page that it is part of."""

    sets_afresh: bool
    """Whether text of the page moves, so that positions are written afresh."""

    def masked_drawing(
        self, drawing: object, borrowed: pikepdf.Object, state: TextState
    ) -> pikepdf.Object | None:
        """A copy of a form or pattern without the targets, or None when it stays as it is."""

    def take_apart(self, machine: TextMachine, operand: object) -> ShownText | None:
        """A shown string with its targets found; None where its codes cannot be placed."""

    def mask_font(self, own: Resources) -> Name:
        """The name of the mask font in these resources."""


class StreamWalk:
    """One content stream followed operator by operator."""

    def __init__(self, page: PageInHand, resources: pikepdf.Object, start: TextState) -> None:
        self._page, self._start = page, start
        self._machine = TextMachine(start)
        self._absolute = AbsoluteText(self._machine) if page.sets_afresh else None
        self.own = Resources(resources)
        self.out: list[Instruction] = []
        self.changed = False

    def take(self, instruction: Instruction) -> None:
        """Follow one instruction and write it out, changed or not."""
        operator = operator_of(instruction)
        if operator not in _HEEDED:
            self.out.append(instruction)
            return
        if operator in _SHOWS:
            self.out.extend(self._shown(instruction, operator))
            return
        if operator in MOVES and self._absolute is not None:
            self._follow(instruction, operator)
            self.out.extend(self._absolute.moved(instruction, operator))
            return
        new: list[Instruction] | None = None
        if operator in FOLLOWED:
            self._follow(instruction, operator)
        elif operator == "Do":
            new = self._drawn(instruction)
        elif operator in ("scn", "SCN"):
            new = self._pattern(instruction, operator)
        elif operator == "gs":
            new = self._graphics_state(instruction)
        if new is None:
            self.out.append(instruction)
        else:
            self.changed = True
            self.out.extend(new)

    def _follow(self, instruction: Instruction, operator: str) -> None:
        if operator in _BARE:
            self._machine.follow(operator, [], "")
            return
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

    def _shown(self, instruction: Instruction, operator: str) -> list[Instruction]:
        operands = list(instruction.operands)
        machine = self._machine
        before: list[Instruction] = []
        if operator == '"' and len(operands) == 3:
            machine.put(word_space=_one(operands[0]), char_space=_one(operands[1]))
            before.append(ContentStreamInstruction([operands[0]], Operator("Tw")))
            before.append(ContentStreamInstruction([operands[1]], Operator("Tc")))
        if operator in ("'", '"'):
            machine.follow("T*", [], "")
            next_line = ContentStreamInstruction([], Operator("T*"))
            before.extend(
                [next_line] if self._absolute is None else self._absolute.moved(next_line, "T*")
            )
        pen = machine.pen
        shown = self._page.take_apart(machine, operands[-1]) if operands else None
        if shown is not None:
            self.changed |= bool(shown.hits) or shown.moved
        if self._absolute is None:
            if shown is None or not shown.hits:
                return [instruction]
            return [*before, *self._written(shown)]
        if shown is None or self._absolute.keeps(shown):
            before.extend(self._absolute.place(pen, 0.0))
            name = "TJ" if operator == "TJ" else "Tj"
            return [*before, ContentStreamInstruction(operands[-1:], Operator(name))]
        before.extend(self._absolute.place(pen, shown.first))
        before.extend(self._written(shown, self._absolute.drift))
        self._absolute.drift = shown.drift
        return before

    def _written(self, shown: ShownText, pen: float = 0.0) -> list[Instruction]:
        """A string that was taken apart, from where the pen is."""
        return shown.instructions(self._page.mask_font(self.own), self._font_in_force(), pen)

    def _font_in_force(self) -> Name:
        """A name for the font in force; a form may have it from the page that draws it."""
        state = self._machine.state
        if state.font and same_object(self.own.find("/Font", state.font), state.typeface):
            return Name(state.font)
        return self.own.add("/Font", state.typeface or Dictionary())


def _last(instruction: Instruction) -> object:
    operands = list(instruction.operands)
    return operands[-1] if operands and isinstance(operands[-1], Name) else None


def _named(name: Name, operator: str) -> ContentStreamInstruction:
    return ContentStreamInstruction([name], Operator(operator))


def _one(operand: object) -> float:
    numbers = numbers_of([operand])
    return numbers[0] if numbers else 0.0
