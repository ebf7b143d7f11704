"""Which codes of which fonts the pages of a document show, and where.

Pages are followed with everything that they draw: forms, tiling patterns, soft
masks and the glyphs of Type 3 fonts (ISO 32000-2, 8.10, 8.7.3, 11.6.5, 9.6.4).
A page that can reach none of the wanted fonts is not read.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace

import pikepdf
from pikepdf import Array, ContentStreamInstruction, Dictionary, Name, Object, Stream, String

from packets.base.errors import OverLimit
from packets.base.limits import DEFAULT_LIMITS
from packets.masking.content_streams import Instruction, operator_of
from packets.masking.font_codes import CodeSpace
from packets.masking.text_state import numbers_of

Key = tuple[int, int]
"""Object and generation number."""
_SHOWS = frozenset({"Tj", "TJ", "'", '"'})


@dataclass(frozen=True)
class _State:
    font: Object | None = None
    spaced: bool = False
    """Whether the code 32 gets word spacing."""


@dataclass(frozen=True)
class _Lender:
    """The resources in which names are looked up, and the object that they belong to."""

    resources: Object
    key: Key


@dataclass
class FontUse:
    """The wanted fonts, and what was seen of them."""

    wanted: Mapping[Key, CodeSpace]
    codes: dict[Key, set[int]] = field(default_factory=dict)
    shown: dict[Key, dict[int, Key]] = field(default_factory=dict)
    """Content stream -> number of an instruction in it -> the font that it shows text in."""
    spaced: set[Key] = field(default_factory=set)
    """Fonts in which something is shown with word spacing."""
    disputed: set[Key] = field(default_factory=set)
    """Fonts that share a shown string with another: a form drawn under several fonts."""
    _followed: set[tuple[Key, Key, bool, Key]] = field(default_factory=set)
    """Stream, font and spacing in force, and whose resources it borrows."""
    _reach: dict[Key, bool] = field(default_factory=dict)

    def follow(self, document: pikepdf.Pdf, enough: Callable[[], bool]) -> None:
        """Follow the pages one by one, until there is `enough`."""
        for key in self.wanted:
            self.codes.setdefault(key, set())
        for page in document.pages:
            resources = page.obj.get("/Resources", Dictionary())
            if isinstance(page.obj.Contents, Stream) and self._reaches(resources, 0):
                lender = _Lender(resources, page.obj.objgen)
                self._stream(page.obj.Contents, lender, _State(), 0)
                if enough():
                    return

    def _reaches(self, resources: object, depth: int) -> bool:
        """Whether something in these resources is, or shows text in, a wanted font."""
        if not isinstance(resources, Dictionary):
            return False
        if depth > DEFAULT_LIMITS.nesting:
            raise OverLimit("forms are nested too deeply inside one another")
        return any(self._object_reaches(thing, depth) for thing in _things(resources))

    def _object_reaches(self, thing: Object, depth: int) -> bool:
        if thing.objgen in self.wanted:
            return True
        if thing.objgen == (0, 0):
            return self._reaches(thing.get("/Resources"), depth + 1)
        if thing.objgen not in self._reach:
            self._reach[thing.objgen] = False
            self._reach[thing.objgen] = self._reaches(thing.get("/Resources"), depth + 1)
        return self._reach[thing.objgen]

    def _stream(self, stream: Stream, lender: _Lender, state: _State, depth: int) -> None:
        font = state.font.objgen if state.font is not None else (0, 0)
        visit = (stream.objgen, font, state.spaced, lender.key)
        if visit in self._followed and stream.objgen != (0, 0):
            return
        if depth > DEFAULT_LIMITS.nesting or len(self._followed) > DEFAULT_LIMITS.objects:
            raise OverLimit("forms are nested too deeply inside one another")
        self._followed.add(visit)
        walk = _Walk(self, stream.objgen, lender, state, depth)
        walk.run(pikepdf.parse_content_stream(stream))

    def drawn(self, drawing: Stream, borrowed: _Lender, state: _State, depth: int) -> None:
        """Follow a form or pattern."""
        own = drawing.get("/Resources")
        lender = borrowed if own is None else _Lender(own, drawing.objgen)
        self._stream(drawing, lender, state, depth + 1)

    def glyphs(self, font: Object | None, borrowed: _Lender, depth: int) -> None:
        """Follow the glyphs of a Type 3 font."""
        if isinstance(font, Dictionary) and isinstance(font.get("/CharProcs"), Dictionary):
            own = font.get("/Resources")
            lender = borrowed if own is None else _Lender(own, font.objgen)
            if self._reaches(lender.resources, depth):
                for procedure in font.CharProcs.values():
                    if isinstance(procedure, Stream):
                        self.drawn(procedure, lender, _State(), depth)

    def seen(
        self, place: tuple[Key, int], font: Object | None, operand: object, spaced: bool
    ) -> None:
        """Note a shown string."""
        key = font.objgen if font is not None else (0, 0)
        stream, number = place
        before = self.shown.get(stream, {}).get(number)
        if before is not None and before != key:
            self.disputed |= {before, key}
        if key not in self.wanted:
            return
        self.shown.setdefault(stream, {})[number] = key
        if spaced:
            self.spaced.add(key)
        space = self.wanted[key]
        for text in operand if isinstance(operand, Array) else [operand]:
            if isinstance(text, String):
                self.codes[key] |= space.numbers(bytes(text))


class _Walk:
    """One content stream followed operator by operator."""

    def __init__(
        self, use: FontUse, stream: Key, lender: _Lender, state: _State, depth: int
    ) -> None:
        self._use, self._stream, self._lender = use, stream, lender
        self._state, self._depth = state, depth
        self._saved: list[_State] = []

    def run(self, instructions: list[Instruction]) -> None:
        for number, instruction in enumerate(instructions):
            operator = operator_of(instruction)
            if operator in _SHOWS:
                self._show(number, list(instruction.operands), operator)
            elif operator == "Tf":
                self._set_font(self._named("/Font", instruction, 0))
            elif operator == "Tw":
                self._state = replace(
                    self._state, spaced=any(numbers_of(list(instruction.operands)))
                )
            elif operator == "q":
                self._saved.append(self._state)
            elif operator == "Q" and self._saved:
                self._state = self._saved.pop()
            elif operator == "Do":
                self._draw(self._named("/XObject", instruction, -1), self._state)
            elif operator in ("scn", "SCN"):
                self._draw(self._named("/Pattern", instruction, -1), _State())
            elif operator == "gs":
                self._graphics_state(self._named("/ExtGState", instruction, -1))

    def _named(self, kind: str, instruction: Instruction, at: int) -> Object | None:
        operands = list(instruction.operands)
        resources = self._lender.resources
        entries = resources.get(kind) if isinstance(resources, Dictionary) else None
        if (
            not operands
            or not isinstance(operands[at], Name)
            or not isinstance(entries, Dictionary)
        ):
            return None
        return entries.get(str(operands[at]))

    def _set_font(self, font: Object | None) -> None:
        self._state = replace(self._state, font=font)
        self._use.glyphs(font, self._lender, self._depth)

    def _draw(self, drawing: Object | None, state: _State) -> None:
        if isinstance(drawing, Stream) and drawing.get("/Subtype") != Name.Image:
            self._use.drawn(drawing, self._lender, state, self._depth)

    def _graphics_state(self, settings: Object | None) -> None:
        if not isinstance(settings, Dictionary):
            return
        font, soft = settings.get("/Font"), settings.get("/SMask")
        if isinstance(font, Array) and len(font):
            self._set_font(font[0])
        if isinstance(soft, Dictionary):
            self._draw(soft.get("/G"), self._state)

    def _show(self, number: int, operands: list[Object], operator: str) -> None:
        if operator == '"' and len(operands) == 3:
            self._state = replace(self._state, spaced=any(numbers_of(operands[:1])))
        if operands:
            place = (self._stream, number)
            self._use.seen(place, self._state.font, operands[-1], self._state.spaced)


def _things(resources: Dictionary) -> Iterator[Object]:
    """Fonts and drawings that resources name."""
    for kind in ("/Font", "/XObject", "/Pattern", "/ExtGState"):
        entries = resources.get(kind)
        for thing in entries.values() if isinstance(entries, Dictionary) else ():
            if kind != "/ExtGState":
                yield from [thing] if isinstance(thing, Dictionary | Stream) else []
                continue
            font, soft = thing.get("/Font"), thing.get("/SMask")
            if isinstance(font, Array) and len(font):
                yield font[0]
            if isinstance(soft, Dictionary) and isinstance(soft.get("/G"), Stream):
                yield soft.G


def rewrite_strings(
    document: pikepdf.Pdf, use: FontUse, moves: Mapping[Key, Mapping[int, int]]
) -> None:
    """Write new codes into every string that is shown in one of the fonts in `moves`."""
    for key, places in use.shown.items():
        if not any(font in moves for font in places.values()):
            continue
        stream = document.get_object(key)
        instructions = list(pikepdf.parse_content_stream(stream))
        for number, font in places.items():
            if font in moves:
                old = instructions[number]
                operands = [
                    _moved(operand, use.wanted[font], moves[font]) for operand in old.operands
                ]
                instructions[number] = ContentStreamInstruction(operands, old.operator)
        stream.write(pikepdf.unparse_content_stream(instructions))


def _moved(operand: object, space: CodeSpace, moves: Mapping[int, int]) -> Object:
    if isinstance(operand, Array):
        return Array([_moved(item, space, moves) for item in operand])
    if isinstance(operand, String):
        return String(space.moved(bytes(operand), moves))
    return operand  # type: ignore[return-value]  # numbers


def fonts_under(resources: object) -> set[Key]:
    """Object numbers of the fonts that resources name, and those of what they draw."""
    fonts: set[Key] = set()
    seen: set[Key] = set()
    waiting = [resources]
    while waiting:
        inside = waiting.pop()
        for thing in _things(inside) if isinstance(inside, Dictionary) else ():
            if "/BaseFont" in thing or thing.get("/Type") == Name.Font:
                fonts.add(thing.objgen)
            if thing.objgen not in seen or thing.objgen == (0, 0):
                seen.add(thing.objgen)
                waiting.append(thing.get("/Resources"))
    return fonts
