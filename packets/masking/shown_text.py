"""One show operator taken apart: what stays, and the masks between (ISO 32000-2, 9.4.3)."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

import pikepdf
from pikepdf import Array, ContentStreamInstruction, Name, Operator, String

from packets.masking.font_widths import FontWidths
from packets.masking.targets import Targets
from packets.masking.text_state import TextMachine, numbers_of

_WIDEST_STAR = 1.6
"""An asterisk is narrow; it is drawn so much wider at most, for the mask to read as one word."""
_DIGIT_WIDTH = 0.556
"""Of a digit of Helvetica, in type sizes."""
_MASK_WIDTHS = {"X": 667.0, "*": 389.0, " ": 278.0}
"""Helvetica's widths in thousandths (Adobe Core 14 metrics)."""

Operand = pikepdf.Object | int | float | Decimal | Array


@dataclass
class _Piece:
    """Either codes and adjustments that stay, or mask characters with their cells."""

    kept: list[bytes | float] = field(default_factory=list)
    masks: list[tuple[str, float, float]] = field(default_factory=list)
    """Mask character, width of the digit's own cell, and whole advance; text space."""


class ShownText:
    """One show operator taken apart."""

    def __init__(self, machine: TextMachine, widths: FontWidths, targets: Targets) -> None:
        self._machine, self._widths, self._targets = machine, widths, targets
        self._pieces: list[_Piece] = [_Piece()]
        self.hits = 0

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
                    self._machine.adjust(number)
                    self._kept().append(number)

    def _passed_over(self, text: bytes) -> bool:
        """Keep a string whole when no target lies on its way; otherwise the pen stays put."""
        machine, state = self._machine, self._machine.state
        if state.char_space < 0 or state.word_space < 0 or not self._widths.never_back:
            return False
        pen, start = machine.pen, machine.origin()
        machine.advance_all(*self._widths.total(text))
        if self._targets.none_between(start, machine.origin()):
            self._kept().append(text)
            return True
        machine.pen = pen
        return False

    def _read_string(self, text: bytes) -> None:
        machine, state = self._machine, self._machine.state
        for code, width in self._widths.codes(text):
            x, y = machine.origin()
            is_space = code == b" "
            mask = self._targets.mask_at(x, y)
            distance = machine.advance(width, is_space=is_space)
            if mask is None:
                kept = self._kept()
                if kept and isinstance(kept[-1], bytes):
                    kept[-1] += code
                else:
                    kept.append(code)
            else:
                self.hits += 1
                cell = width / 1000 * state.size * state.scale
                if self._pieces[-1].kept or not self._pieces[-1].masks:
                    self._pieces.append(_Piece())
                self._pieces[-1].masks.append((mask, cell, distance))

    def _kept(self) -> list[bytes | float]:
        if self._pieces[-1].masks:
            self._pieces.append(_Piece())
        return self._pieces[-1].kept

    def instructions(self, mask_font: Name, font: Name) -> list[ContentStreamInstruction]:
        """The operators that show what stays and the masks between; `font` is the one in force."""
        out: list[ContentStreamInstruction] = []
        for piece in self._pieces:
            if piece.kept:
                array = Array([String(k) if isinstance(k, bytes) else k for k in piece.kept])
                out.append(ContentStreamInstruction([array], Operator("TJ")))
            elif piece.masks:
                out.extend(self._mask_instructions(piece.masks, mask_font, font))
        return out

    def _mask_instructions(
        self, masks: Sequence[tuple[str, float, float]], mask_font: Name, font: Name
    ) -> list[ContentStreamInstruction]:
        state = self._machine.state
        size = _mask_size(masks, state.size or 1.0, state.scale or 1.0)
        scale = _mask_scale(masks, size, state.scale)
        items: list[float | String] = []
        for char, cell, distance in masks:
            own = _MASK_WIDTHS.get(char, 667.0) / 1000 * size * scale
            before = (cell - own) / 2
            after = distance - own - before
            unit = size * scale / 1000 or 1.0
            items.extend((-before / unit, String(char), -after / unit))
        set_up: list[tuple[Iterable[Operand], str]] = [
            ([mask_font, size], "Tf"),
            ([0], "Tc"),
            ([0], "Tw"),
            ([scale * 100], "Tz"),
            ([Array(_joined(items))], "TJ"),
            ([font, state.size], "Tf"),
            ([state.char_space], "Tc"),
            ([state.word_space], "Tw"),
            ([state.scale * 100], "Tz"),
        ]
        return [ContentStreamInstruction(operands, Operator(name)) for operands, name in set_up]


def _mask_size(masks: Sequence[tuple[str, float, float]], size: float, scale: float) -> float:
    """The size in force, or, where the font has units of its own, one that fits its digits."""
    share = max(abs(cell) for _, cell, _ in masks) / abs(size * scale)
    return size if not share or 0.25 <= share <= 1.3 else size * share / _DIGIT_WIDTH


def _mask_scale(masks: Sequence[tuple[str, float, float]], size: float, scale: float) -> float:
    """Horizontal scale at which the widest mask character fits the narrowest digit cell."""
    cells = [abs(cell) for _, cell, _ in masks if cell]
    widest = max(_MASK_WIDTHS.get(char, 667.0) for char, _, _ in masks) / 1000 * abs(size)
    if not cells or not widest:
        return scale or 1.0
    most = (abs(scale) or 1.0) * (_WIDEST_STAR if masks[0][0] == "*" else 1.0)
    return math.copysign(max(min(min(cells) / widest, most), 0.01), scale)


def _joined(items: Sequence[float | String]) -> list[float | String]:
    """Neighbouring numbers added up, rounded, and nothing that moves less than a hair."""
    joined: list[float | String] = []
    for item in items:
        if isinstance(item, float) and joined and isinstance(joined[-1], float):
            joined[-1] = joined[-1] + item
        else:
            joined.append(item)
    return [
        round(item, 3) if isinstance(item, float) else item
        for item in joined
        if not (isinstance(item, float) and abs(item) < 0.001)
    ]
