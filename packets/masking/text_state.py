"""Graphics and text state as far as it decides where a code stands (ISO 32000-2, 9.3, 9.4)."""

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from decimal import Decimal
from typing import NamedTuple

import pikepdf

from packets.masking.matrices import IDENTITY, Matrix


class TextState(NamedTuple):
    """What q saves and Q restores, of what concerns text."""

    ctm: Matrix = IDENTITY
    font: str = ""
    """Its name in the resources where it was set; empty when a graphics state set it."""
    typeface: pikepdf.Object | None = None
    """The font itself: a form that inherits it may know another one by that name."""
    size: float = 0.0
    char_space: float = 0.0
    word_space: float = 0.0
    scale: float = 1.0
    leading: float = 0.0
    rise: float = 0.0


Step = tuple[bytes, float, tuple[float, float], float]
"""One code that is shown: itself, its width in thousandths, where it starts in default user
space, and how far it moves the pen in text space."""


class TextMachine:
    """Follows the operators of one content stream and knows the pen's place.

    Numbers that are missing or of another type count as zero, as readers do.
    """

    def __init__(self, start: TextState) -> None:
        self.state = start
        self._saved: list[TextState] = []
        self.pen = IDENTITY
        self.line = IDENTITY

    def follow(self, operator: str, operands: list[float], name: str) -> None:
        """Apply one operator that shows no text."""
        action = _ACTIONS.get(operator)
        if action is not None:
            action(self, operands, name)

    def origin(self) -> tuple[float, float]:
        """Where the next code starts, in default user space."""
        x, y = self.pen.point(0.0, self.state.rise)
        return self.state.ctm.point(x, y)

    def steps(self, codes: Iterable[tuple[bytes, float]]) -> Iterator[Step]:
        """Move the pen past codes, given with their widths in thousandths, one by one."""
        s, ctm = self.state, self.state.ctm
        a, b, c, d, e, f = self.pen
        x, y = a * 0.0 + c * s.rise, b * 0.0 + d * s.rise
        for code, width in codes:
            word = s.word_space if code == b" " else 0.0
            distance = (width / 1000 * s.size + s.char_space + word) * s.scale
            yield code, width, ctm.point(x + e, y + f), distance
            e, f = e + distance * a, f + distance * b
        self.pen = Matrix(a, b, c, d, e, f)

    def advance_all(self, width: float, codes: int, spaces: int) -> float:
        """Move the pen past several codes at once; return the distance in text space."""
        s = self.state
        distance = width / 1000 * s.size + codes * s.char_space + spaces * s.word_space
        self.shift(distance * s.scale)
        return distance * s.scale

    def along(self, dx: float, dy: float) -> float:
        """A step in default user space as a distance along the line, in text space."""
        a, b = self._unit()
        return (dx * a + dy * b) / (a * a + b * b or 1.0)

    def along_line(self, length: float) -> float:
        """A length in default user space as a distance along the line, in text space."""
        return length / (math.hypot(*self._unit()) or 1.0)

    def _unit(self) -> tuple[float, float]:
        """What one unit along the line is in default user space."""
        whole = self.pen.times(self.state.ctm)
        return whole.a, whole.b

    def adjust(self, thousandths: float) -> float:
        """Apply a number of a TJ array; return the distance in text space."""
        distance = -thousandths / 1000 * self.state.size * self.state.scale
        self.shift(distance)
        return distance

    def shift(self, distance: float) -> None:
        """Move the pen along the line by a distance in text space."""
        a, b, c, d, e, f = self.pen
        self.pen = Matrix(a, b, c, d, e + distance * a, f + distance * b)

    def next_line(self, x: float, y: float) -> None:
        """Td."""
        self.line = Matrix(e=x, f=y).times(self.line)
        self.pen = self.line

    def save(self) -> None:
        """q."""
        self._saved.append(self.state)

    def restore(self) -> None:
        """Q; without a q before it, nothing."""
        if self._saved:
            self.state = self._saved.pop()

    def put(self, **changes: float | str | Matrix | pikepdf.Object | None) -> None:
        """Change parts of the state."""
        self.state = self.state._replace(**changes)  # type: ignore[arg-type]  # keys are its fields


def _at(operands: list[float], place: int) -> float:
    return operands[place] if place < len(operands) else 0.0


def _matrix(operands: list[float]) -> Matrix:
    return Matrix(*operands[:6]) if len(operands) >= 6 else IDENTITY


def _begin(machine: TextMachine) -> None:
    machine.pen = machine.line = IDENTITY


def _set_line(machine: TextMachine, matrix: Matrix) -> None:
    machine.pen = machine.line = matrix


def _lead(machine: TextMachine, ops: list[float]) -> None:
    machine.put(leading=-_at(ops, 1))
    machine.next_line(_at(ops, 0), _at(ops, 1))


_ACTIONS: dict[str, Callable[[TextMachine, list[float], str], None]] = {
    "q": lambda m, *_: m.save(),
    "Q": lambda m, *_: m.restore(),
    "cm": lambda m, o, _: m.put(ctm=_matrix(o).times(m.state.ctm)),
    "BT": lambda m, *_: _begin(m),
    "Tf": lambda m, o, n: m.put(font=n, size=_at(o, 0)),
    "Tc": lambda m, o, _: m.put(char_space=_at(o, 0)),
    "Tw": lambda m, o, _: m.put(word_space=_at(o, 0)),
    "Tz": lambda m, o, _: m.put(scale=_at(o, 0) / 100),
    "TL": lambda m, o, _: m.put(leading=_at(o, 0)),
    "Ts": lambda m, o, _: m.put(rise=_at(o, 0)),
    "Td": lambda m, o, _: m.next_line(_at(o, 0), _at(o, 1)),
    "TD": lambda m, o, _: _lead(m, o),
    "Tm": lambda m, o, _: _set_line(m, _matrix(o)),
    "T*": lambda m, *_: m.next_line(0.0, -m.state.leading),
}


FOLLOWED = frozenset(_ACTIONS)
"""Operators that show no text and decide where it stands."""
_NUMBERS = frozenset({int, float, Decimal})


def numbers_of(operands: Sequence[object]) -> list[float]:
    """The operands that are numbers, as floats, in order."""
    return [float(it) for it in operands if type(it) in _NUMBERS]  # type: ignore[arg-type]
