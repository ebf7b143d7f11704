"""One show operator taken apart: what stays, and the masks between (ISO 32000-2, 9.4.3).

It is written again from the places of its glyphs, not from its numbers: the
adjustments of a TJ array that stood beside a digit that went go with it.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import groupby

from pikepdf import Array, ContentStreamInstruction, Name, Operator, String

from packets.masking.content_streams import Instruction
from packets.masking.font_widths import FontWidths
from packets.masking.targets import Place, Targets
from packets.masking.text_state import TextMachine, TextState, numbers_of

_WIDEST_STAR = 1.6
"""An asterisk is narrow; it is drawn so much wider at most, for the mask to read as one word."""
_DIGIT_WIDTH = 0.556
"""Of a digit of Helvetica, in type sizes."""
_NO_STEP = 0.0005
"""Text space; neighbours whose shifts differ by less are set as one."""
_MASK_WIDTHS = {"X": 667.0, "*": 389.0, " ": 278.0}
"""Helvetica's widths in thousandths (Adobe Core 14 metrics)."""
_HAIR = 0.001
"""Thousandths of the type size; nothing that moves less is written."""


@dataclass
class _Item:
    """Codes that stay, or one mask. Places along the line in text space, from the operator's."""

    start: float
    width: float
    """How far the codes move the pen; for a mask, the width of its cell."""
    shift: float
    kept: bytes = b""
    mask: str | None = None

    @property
    def wanted(self) -> float:
        return self.start + self.shift


@dataclass
class _Array:
    """The items of a TJ array in the making, and the pen it leaves."""

    unit: float
    """Text space that one thousandth moves."""
    pen: float
    items: list[float | String] = field(default_factory=list)

    def go(self, to: float, digits: int) -> None:
        """Move the pen there, as exactly as a number of so many decimals does."""
        number = round((self.pen - to) / self.unit, digits) if self.unit else 0.0
        if abs(number) >= _HAIR:
            self.items.append(number)
            self.pen -= number * self.unit

    def show(self, text: bytes, width: float) -> None:
        self.items.append(String(text))
        self.pen += width


class ShownText:
    """One show operator taken apart."""

    def __init__(self, machine: TextMachine, widths: FontWidths, targets: Targets) -> None:
        self._machine, self._widths, self._targets = machine, widths, targets
        self._items: list[_Item] = []
        self._at = 0.0
        self.hits = 0
        self.removed: set[int] = set()
        """Codes that went, by number."""
        self.moved = False
        """Whether anything is set afresh, elsewhere than it stood or not."""
        self.drift = 0.0
        """After `instructions`: how far the pen is from where the operator would have left it."""

    @property
    def first(self) -> float:
        """Where its first glyph is to start, from the place of the operator; text space."""
        return self._items[0].wanted if self._items else 0.0

    def read(self, operand: object) -> None:
        """Walk the string, or the strings and numbers of a TJ array."""
        items = list(operand) if isinstance(operand, Array) else [operand]
        for item in items:
            if isinstance(item, String):
                text = bytes(item)
                if not self._passed_over(text):
                    self._read_string(text)
            else:
                for number in numbers_of([item]):
                    self._at += self._machine.adjust(number)

    def _passed_over(self, text: bytes) -> bool:
        """Keep a string whole when no target lies on its way; otherwise the pen stays put."""
        machine, state = self._machine, self._machine.state
        if state.char_space < 0 or state.word_space < 0 or not self._widths.never_back:
            return False
        pen, start = machine.pen, machine.origin()
        distance = machine.advance_all(*self._widths.total(text))
        if self._targets.none_between(start, machine.origin()):
            self._keep(text, distance, 0.0)
            return True
        machine.pen = pen
        return False

    def _read_string(self, text: bytes) -> None:
        machine, state = self._machine, self._machine.state
        for code, width, origin, distance in machine.steps(self._widths.codes(text)):
            place = self._targets.at(*origin)
            shift = machine.along(*place.move) if place is not None else 0.0
            self.moved |= place is not None and (place.mask is None or shift != 0.0)
            if place is None or place.mask is None:
                self._keep(code, distance, shift)
            else:
                self.removed.add(int.from_bytes(code, "big"))
                own = width / 1000 * state.size * state.scale
                self._mask(place, math.copysign(self._cell(place), own), own, distance, shift)

    def _cell(self, place: Place) -> float:
        return self._machine.along_line(place.cell or 0.0)

    def _keep(self, text: bytes, distance: float, shift: float) -> None:
        last = self._items[-1] if self._items else None
        if (
            last is not None
            and last.mask is None
            and abs(last.shift - shift) < _NO_STEP
            and abs(last.start + last.width - self._at) < 1e-9
        ):
            last.kept += text
            last.width += distance
        else:
            self._items.append(_Item(self._at, distance, shift, kept=text))
        self._at += distance

    def _mask(self, place: Place, fresh: float, own: float, distance: float, shift: float) -> None:
        self.hits += 1
        self.moved |= place.cell is not None
        width = own if place.cell is None else fresh
        self._items.append(_Item(self._at, width, shift, mask=place.mask))
        self._at += distance

    def instructions(self, mask_font: Name, font: Name, pen: float = 0.0) -> list[Instruction]:
        """The operators that show what stays and the masks between.

        `font` is the one in force, `pen` where the pen is, from the operator's own
        place. Afterwards `drift` tells where it is left.
        """
        out: list[Instruction] = []
        runs = [list(run) for _, run in groupby(self._items, key=lambda item: item.mask is None)]
        state = self._machine.state
        for order, run in enumerate(runs):
            setting = _MaskSetting.of(run, state) if run[0].mask is not None else None
            array = _Array(setting.unit if setting else state.size * state.scale / 1000, pen)
            if setting is None:
                _show_kept(array, run, after_mask=bool(order))
            else:
                _show_masks(array, run, setting)
            if order == len(runs) - 1:
                self._leave(array, self._end(run[-1]))
            pen = array.pen
            shown = ContentStreamInstruction([Array(array.items)], Operator("TJ"))
            out.extend(
                [shown] if setting is None else setting.around(shown, mask_font, font, state)
            )
        self.drift = pen - self._at
        return out

    def _leave(self, array: _Array, end: float) -> None:
        """Move the pen to the end; set afresh, what rounding left over is not written out."""
        if self.moved and abs(end - array.pen) < abs(array.unit):
            array.pen = end
        array.go(end, 3)

    def _end(self, last: _Item) -> float:
        """Where the pen is left. Behind a mask set afresh it is not where it would have been."""
        if self.moved and last.mask is not None:
            return last.wanted + last.width
        return self._at + last.shift


def _show_kept(array: _Array, run: Sequence[_Item], *, after_mask: bool) -> None:
    for order, item in enumerate(run):
        beside_mask = after_mask and not order
        moved = item.shift != 0.0
        array.go(item.wanted, 1 if beside_mask or moved else 3)
        array.show(item.kept, item.width)


def _show_masks(array: _Array, run: Sequence[_Item], setting: "_MaskSetting") -> None:
    for item in run:
        own = setting.width_of(item.mask or "")
        array.go(item.wanted + (item.width - own) / 2, 1)
        array.show((item.mask or "").encode("ascii"), own)


@dataclass(frozen=True)
class _MaskSetting:
    """Type size and horizontal scale of the masks of one run."""

    size: float
    scale: float

    @classmethod
    def of(cls, run: Sequence[_Item], state: TextState) -> "_MaskSetting":
        cells = [abs(item.width) for item in run]
        size = _mask_size(cells, state.size or 1.0, state.scale or 1.0)
        return cls(size, _mask_scale(cells, run[0].mask or "", size, state.scale))

    @property
    def unit(self) -> float:
        return self.size * self.scale / 1000 or 1.0

    def width_of(self, char: str) -> float:
        return _MASK_WIDTHS.get(char, 667.0) * self.size * self.scale / 1000

    def around(
        self, shown: Instruction, mask_font: Name, font: Name, state: TextState
    ) -> list[Instruction]:
        """The shown masks, with what has to be set before them and set back after them."""
        before: list[tuple[list[Name | float], str]] = [
            ([mask_font, self.size], "Tf"), ([0], "Tc"), ([0], "Tw"), ([self.scale * 100], "Tz"),
        ]  # fmt: skip
        after: list[tuple[list[Name | float], str]] = [
            ([font, state.size], "Tf"), ([state.char_space], "Tc"),
            ([state.word_space], "Tw"), ([state.scale * 100], "Tz"),
        ]  # fmt: skip
        return [
            *(ContentStreamInstruction(operands, Operator(name)) for operands, name in before),
            shown,
            *(ContentStreamInstruction(operands, Operator(name)) for operands, name in after),
        ]


def _mask_size(cells: Sequence[float], size: float, scale: float) -> float:
    """The size in force, or, where the font has units of its own, one that fits its digits."""
    share = max(cells) / abs(size * scale)
    return size if not share or 0.25 <= share <= 1.3 else size * share / _DIGIT_WIDTH


def _mask_scale(cells: Sequence[float], char: str, size: float, scale: float) -> float:
    """Horizontal scale at which the mask character fits the narrowest digit cell."""
    wide = [cell for cell in cells if cell]
    own = _MASK_WIDTHS.get(char, 667.0) / 1000 * abs(size)
    if not wide or not own:
        return scale or 1.0
    most = (abs(scale) or 1.0) * (_WIDEST_STAR if char == "*" else 1.0)
    return math.copysign(max(min(min(wide) / own, most), 0.01), scale)
