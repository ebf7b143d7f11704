"""A signature drawn as SVG, by a short list of what it may hold; anything else is refused.

No document type, entity, script, style sheet, link, picture, text or foreign object:
a drawing of strokes needs none of them.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from xml.parsers import expat

from PIL import ImageColor

from packets.base.errors import Damaged, InputRefused, OverLimit
from packets.signatures.svg_paths import (
    IDENTITY,
    Matrix,
    NotDrawn,
    Step,
    length,
    moved,
    shape_steps,
    times,
    transform,
)

MOST_BYTES = 2_000_000
MOST_STEPS = 60_000
MOST_DEPTH = 40
SVG = "http://www.w3.org/2000/svg"
SHAPES = ("path", "polyline", "polygon", "line", "rect", "circle", "ellipse")
SILENT = ("title", "desc")
GEOMETRY = {
    "d", "points", "x", "y", "width", "height", "x1", "y1", "x2", "y2", "cx", "cy", "r", "rx", "ry",
}  # fmt: skip
PAINT = (
    "fill", "fill-rule", "stroke", "stroke-width", "stroke-linecap", "stroke-linejoin",
)  # fmt: skip
WITHOUT_EFFECT = {
    "id", "class", "version", "baseProfile", "viewBox", "preserveAspectRatio", "stroke-miterlimit",
    "shape-rendering", "role", "aria-label", "http://www.w3.org/XML/1998/namespace space",
    "http://www.w3.org/XML/1998/namespace lang",
}  # fmt: skip
OPAQUE = {"opacity", "fill-opacity", "stroke-opacity"}
LIGHTEST_INK = 225
"""A paint of which every channel is lighter (0-255) is paper, not ink."""
Colour = tuple[int, int, int]


@dataclass(frozen=True)
class Stroke:
    """One shape with its paint; coordinates of the whole drawing, y downward."""

    steps: tuple[Step, ...]
    fill: Colour | None
    even_odd: bool
    stroke: Colour | None
    width: float
    cap: str
    join: str


@dataclass(frozen=True)
class _State:
    """What an element hands on to those inside it."""

    matrix: Matrix = IDENTITY
    paint: Mapping[str, str] = field(default_factory=dict)


def read_svg(data: bytes, where: str) -> tuple[Stroke, ...]:
    """The inked shapes of a drawing, in order.

    Raises InputRefused for what the list does not name, OverLimit for too much of
    it, Damaged for what is no SVG.
    """
    if len(data) > MOST_BYTES:
        raise OverLimit("this drawing is too large for a signature", where=where)
    reader = _Reader(where)
    try:
        reader.parser.Parse(data, True)
    except expat.ExpatError:
        raise Damaged("this drawing is not well-formed XML", where=where) from None
    except (NotDrawn, ValueError, OverflowError):
        raise Damaged("a shape of this drawing cannot be read", where=where) from None
    return tuple(reader.strokes)


class _Reader:
    """The parser's handlers, and what they have found."""

    def __init__(self, where: str) -> None:
        self.where = where
        self.states: list[_State] = []
        self.silent = 0
        self.steps = 0
        self.strokes: list[Stroke] = []
        parser = self.parser = expat.ParserCreate(namespace_separator=" ")
        parser.StartElementHandler = self.open
        parser.EndElementHandler = self.close
        parser.StartDoctypeDeclHandler = lambda *_: self.refuse("a document type")
        parser.EntityDeclHandler = lambda *_: self.refuse("an entity")
        parser.ProcessingInstructionHandler = lambda *_: self.refuse("a processing instruction")
        parser.CharacterDataHandler = self.text

    def refuse(self, what: str) -> None:
        raise InputRefused(
            f"a signature drawing may not hold {what}: only shapes with plain colours",
            where=self.where,
        )

    def text(self, words: str) -> None:
        if words.strip() and not self.silent:
            self.refuse("text")

    def open(self, name: str, given: dict[str, str]) -> None:
        space, _, element = name.rpartition(" ")
        shown = element if element.isalnum() and len(element) <= 20 else "something unknown"
        if not self.states and element != "svg":
            raise Damaged("this is no SVG drawing", where=self.where)
        if space not in ("", SVG) or (self.states and element not in (*SHAPES, *SILENT, "g")):
            self.refuse(f"<{shown}>")
        if len(self.states) >= MOST_DEPTH:
            raise OverLimit("this drawing is nested too deeply", where=self.where)
        self.silent += element in SILENT
        outer = self.states[-1] if self.states else _State()
        state = self._inside(outer, given)
        self.states.append(state)
        if element in SHAPES:
            self._draw(element, given, state)

    def close(self, name: str) -> None:
        self.states.pop()
        self.silent -= name.rpartition(" ")[2] in SILENT

    def _inside(self, outer: _State, given: Mapping[str, str]) -> _State:
        paint = dict(outer.paint)
        for key, value in given.items():
            if key == "style":
                paint.update(self._style(value))
            elif key in PAINT or key in OPAQUE:
                paint.update(self._painted(key, value))
            elif key not in GEOMETRY | WITHOUT_EFFECT | {"transform"} and not key.startswith(
                "data-"
            ):
                shown = key if key.replace("-", "").isalnum() and len(key) <= 30 else "of a link"
                self.refuse(f"the attribute {shown}")
        matrix = transform(given.get("transform", ""))
        return replace(outer, matrix=times(matrix, outer.matrix), paint=paint)

    def _style(self, text: str) -> dict[str, str]:
        paint: dict[str, str] = {}
        for declaration in filter(str.strip, text.split(";")):
            key, _, value = declaration.partition(":")
            name = key.strip().lower()
            if name not in PAINT and name not in OPAQUE and name not in WITHOUT_EFFECT:
                self.refuse("a style other than of plain strokes")
            paint.update(self._painted(name, value))
        return paint

    def _painted(self, key: str, value: str) -> dict[str, str]:
        plain = value.strip()
        if any(mark in plain for mark in ("url", "@", "\\", "var(", "/*")):
            self.refuse("a style that leads elsewhere")
        if key in OPAQUE and plain and float(plain) != 1.0:
            self.refuse("transparency")
        return {key: plain}

    def _draw(self, element: str, given: Mapping[str, str], state: _State) -> None:
        steps = tuple(moved(shape_steps(element, given), state.matrix))
        self.steps += len(steps)
        if self.steps > MOST_STEPS:
            raise OverLimit("this drawing has too many strokes for a signature", where=self.where)
        a, b, c, d, _, _ = state.matrix
        paint = state.paint
        fill = None if element == "line" else self._ink(paint.get("fill", "black"))
        stroke = self._ink(paint.get("stroke", "none"))
        width = length(paint.get("stroke-width", "1")) * abs(a * d - b * c) ** 0.5
        if steps and (fill or (stroke and width > 0)):
            self.strokes.append(
                Stroke(
                    steps,
                    fill,
                    paint.get("fill-rule") == "evenodd",
                    stroke if width > 0 else None,
                    width,
                    paint.get("stroke-linecap", "butt"),
                    paint.get("stroke-linejoin", "miter"),
                )
            )

    def _ink(self, value: str) -> Colour | None:
        """The colour of a paint; None where it paints nothing, or paper."""
        if value in ("none", "transparent", ""):
            return None
        if value == "currentColor":
            return (0, 0, 0)
        try:
            red, green, blue, *alpha = ImageColor.getrgb(value)
        except ValueError:
            self.refuse("a paint other than a plain colour")
            return None
        if alpha and alpha[0] != 255:
            self.refuse("transparency")
        return None if min(red, green, blue) >= LIGHTEST_INK else (red, green, blue)
