"""Take outlines, strokes and small pictures out of content streams, and leave the rest.

A path is built from sub-paths (ISO 32000-2, 8.5.2); those that lie in a digit's
cell are not written out again, the others stay operator by operator, painted as
they were. Clipping paths are treated alike; one that loses all it had clips
everything away. Forms, tiling patterns and soft masks are followed where they
are drawn or set; one in which something goes is copied, for that use only.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

import pikepdf
from pikepdf import (
    ContentStreamInlineImage,
    ContentStreamInstruction,
    Dictionary,
    Name,
    Operator,
)

from packets.base.errors import OverLimit
from packets.masking.content_streams import Instruction
from packets.masking.drawn_cells import Cells
from packets.masking.drawn_records import PageBox
from packets.masking.matrices import IDENTITY, Matrix
from packets.masking.resources import Resources
from packets.masking.text_state import numbers_of

_MOST_DRAWINGS = 5_000
_DEEPEST = 20
_BUILDS = frozenset({"m", "l", "c", "v", "y", "h", "re"})
_PAINTS = frozenset({"f", "F", "f*", "B", "B*", "b", "b*", "S", "s", "n"})
_CLIPS = frozenset({"W", "W*"})


@dataclass
class PathEraser:
    """Takes what lies in the cells out of one page."""

    pdf: pikepdf.Pdf
    cells: Cells
    _inside: list[tuple[int, int]] = field(default_factory=list)
    _drawings: int = 0

    def erase(self, page: pikepdf.Page) -> bool:
        """Write the page's content anew; False when nothing lay in the cells.

        The new content leaves the graphics state as it found it.
        """
        resources = page.get("/Resources")
        if not isinstance(resources, Dictionary):
            resources = Dictionary()
        new = self.erased(page.obj, resources, IDENTITY)
        if new is None:
            return False
        page.obj.Contents = self.pdf.make_stream(new[0])
        page.obj.Resources = new[1]
        return True

    def erased(
        self, holder: pikepdf.Object, resources: pikepdf.Object, ctm: Matrix
    ) -> tuple[bytes, pikepdf.Object] | None:
        """New content and resources, or None when nothing goes."""
        walk = _PathWalk(self, resources, ctm)
        for instruction in pikepdf.parse_content_stream(holder):
            walk.take(instruction)
        if not walk.changed:
            return None
        return walk.content(), walk.own.result

    def erased_drawing(
        self, drawing: object, borrowed: pikepdf.Object, ctm: Matrix
    ) -> pikepdf.Object | None:
        """A copy of a form or pattern without what goes, or None when it stays as it is."""
        if not isinstance(drawing, pikepdf.Stream) or drawing.objgen in self._inside:
            return None
        self._drawings += 1
        if self._drawings > _MOST_DRAWINGS or len(self._inside) > _DEEPEST:
            raise OverLimit("a page draws too many forms, or forms too deep inside one another")
        matrix = numbers_of(list(drawing.get("/Matrix", [])))
        own = Matrix(*matrix) if len(matrix) == 6 else IDENTITY
        self._inside.append(drawing.objgen)
        new = self.erased(drawing, drawing.get("/Resources", borrowed), own.times(ctm))
        self._inside.pop()
        if new is None:
            return None
        copy = self.pdf.make_stream(new[0])
        for key, value in drawing.items():
            if key not in ("/Length", "/Filter", "/DecodeParms"):
                copy[key] = value
        copy.Resources = new[1]
        return copy


@dataclass(slots=True)
class _SubPath:
    points: list[tuple[float, float]] = field(default_factory=list)

    def box(self) -> PageBox:
        xs, ys = zip(*self.points, strict=True)
        return min(xs), min(ys), max(xs), max(ys)


class _PathWalk:
    """One content stream followed operator by operator."""

    def __init__(self, eraser: PathEraser, resources: pikepdf.Object, ctm: Matrix) -> None:
        self._eraser, self._start, self._ctm = eraser, ctm, ctm
        self.own = Resources(resources)
        self._saved: list[Matrix] = []
        self._out: list[Instruction] = []
        self._path: list[tuple[int | None, Instruction]] = []
        self._subs: list[_SubPath] = []
        self._clips = False
        self.changed = False

    def content(self) -> bytes:
        """What stays, with every q closed."""
        self._out.extend(operator for _, operator in self._path)
        closing = [ContentStreamInstruction([], Operator("Q")) for _ in self._saved]
        return pikepdf.unparse_content_stream([*self._out, *closing])

    def take(self, instruction: Instruction) -> None:
        operator = str(instruction.operator)
        if operator in _BUILDS:
            self._build(operator, instruction)
        elif operator in _CLIPS:
            self._clips = True
            self._path.append((None, instruction))
        elif operator in _PAINTS:
            self._paint(instruction)
        elif self._path:
            self._path.append((None, self._other(operator, instruction) or instruction))
        elif isinstance(instruction, ContentStreamInlineImage) or operator == "Do":
            self._picture(operator, instruction)
        else:
            new = self._other(operator, instruction)
            if new is not None:
                self._out.append(new)

    def _build(self, operator: str, instruction: Instruction) -> None:
        numbers = numbers_of(list(instruction.operands))
        if operator in ("m", "re") or not self._subs:
            self._subs.append(_SubPath())
        sub = self._subs[-1]
        if operator == "re" and len(numbers) == 4:
            x, y, width, height = numbers
            corners = ((x, y), (x + width, y), (x, y + height), (x + width, y + height))
            sub.points.extend(self._ctm.point(*corner) for corner in corners)
        else:
            pairs = zip(numbers[::2], numbers[1::2], strict=False)
            sub.points.extend(self._ctm.point(*pair) for pair in pairs)
        self._path.append((len(self._subs) - 1, instruction))

    def _paint(self, instruction: Instruction) -> None:
        goes = [bool(sub.points) and self._eraser.cells.take(sub.box()) for sub in self._subs]
        if not any(goes):
            self._out.extend(operator for _, operator in self._path)
            self._out.append(instruction)
        else:
            self.changed = True
            kept = [op for at, op in self._path if at is None or not goes[at]]
            if all(goes) and self._clips:
                nothing = ContentStreamInstruction([0, 0, 0, 0], Operator("re"))
                self._out.extend([nothing, *kept, ContentStreamInstruction([], Operator("n"))])
            else:
                self._out.extend(kept)
                if not all(goes):
                    self._out.append(instruction)
        self._path, self._subs, self._clips = [], [], False

    def _picture(self, operator: str, instruction: Instruction) -> None:
        form = None
        if operator == "Do":
            form = self.own.find("/XObject", _last(instruction))
            if isinstance(form, pikepdf.Stream) and form.get("/Subtype") == Name.Form:
                copy = self._eraser.erased_drawing(form, self.own.result, self._ctm)
                self._out.append(
                    instruction if copy is None else self._named(copy, "/XObject", "Do")
                )
                return
        corners = [self._ctm.point(x, y) for x in (0, 1) for y in (0, 1)]
        if self._eraser.cells.take(_SubPath(corners).box()):
            self.changed = True
        else:
            self._out.append(instruction)

    def _other(self, operator: str, instruction: Instruction) -> Instruction | None:
        """Follow an operator; None where it has no effect (a Q without its q)."""
        if operator == "q":
            self._saved.append(self._ctm)
        elif operator == "Q":
            if not self._saved:
                return None
            self._ctm = self._saved.pop()
        elif operator == "cm":
            numbers = numbers_of(list(instruction.operands))
            if len(numbers) == 6:
                self._ctm = Matrix(*numbers).times(self._ctm)
        elif operator in ("scn", "SCN"):
            return self._pattern(operator, instruction)
        elif operator == "gs":
            return self._soft_mask(instruction)
        return instruction

    def _pattern(self, operator: str, instruction: Instruction) -> Instruction:
        pattern = self.own.find("/Pattern", _last(instruction))
        copy = self._eraser.erased_drawing(pattern, self.own.result, self._start)
        if copy is None:
            return instruction
        self.changed = True
        tints = list(instruction.operands)[:-1]
        return ContentStreamInstruction(
            [*tints, self.own.add("/Pattern", copy)], Operator(operator)
        )

    def _soft_mask(self, instruction: Instruction) -> Instruction:
        settings = self.own.find("/ExtGState", _last(instruction))
        soft = settings.get("/SMask") if isinstance(settings, Dictionary) else None
        if settings is None or not isinstance(soft, Dictionary):
            return instruction
        group = self._eraser.erased_drawing(soft.get("/G"), self.own.result, self._ctm)
        if group is None:
            return instruction
        new_soft = Dictionary({**dict(soft.items()), "/G": group})
        copy = Dictionary({**dict(settings.items()), "/SMask": new_soft})
        return self._named(copy, "/ExtGState", "gs")

    def _named(self, value: pikepdf.Object, kind: str, operator: str) -> Instruction:
        self.changed = True
        return ContentStreamInstruction([self.own.add(kind, value)], Operator(operator))


def _last(instruction: Instruction) -> object:
    operands: Sequence[object] = list(instruction.operands)
    return operands[-1] if operands and isinstance(operands[-1], Name) else None
