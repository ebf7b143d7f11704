"""Text positions written afresh: every show operator behind a matrix of its own.

Where text of a page is set afresh, offsets from one string to the next would
still tell what stood between. So the operators that move the line (ISO 32000-2,
9.4.2) are followed but not written, and each string that they place is placed
by Tm where its first glyph is to start.
"""

from pikepdf import ContentStreamInstruction, Operator

from packets.masking.content_streams import Instruction
from packets.masking.matrices import Matrix
from packets.masking.shown_text import ShownText
from packets.masking.text_state import TextMachine

MOVES = frozenset({"BT", "Td", "TD", "Tm", "T*"})
"""The operators that set the line matrix."""


class AbsoluteText:
    """Follows one content stream in which positions are written afresh."""

    def __init__(self, machine: TextMachine) -> None:
        self._machine = machine
        self._placed = False
        """Whether the line was placed since the last string, and not written yet."""
        self.drift = 0.0
        """How far the pen as written is from the pen as followed; text space."""

    def moved(self, instruction: Instruction, operator: str) -> list[Instruction]:
        """What to write for an operator that sets the line matrix, already followed."""
        self.drift = 0.0
        self._placed = operator != "BT"
        if operator == "BT":
            return [instruction]
        if operator == "TD":
            return [ContentStreamInstruction([self._machine.state.leading], Operator("TL"))]
        return []

    def keeps(self, shown: ShownText) -> bool:
        """Whether a string can be written as it was."""
        return not shown.hits and not shown.moved and (self._placed or self.drift == 0.0)

    def place(self, pen: Matrix, first: float) -> list[Instruction]:
        """Write the place of a string whose first glyph starts `first` behind the pen."""
        if not self._placed:
            return []
        self._placed = False
        self.drift = first
        a, b, c, d, e, f = pen
        at = Matrix(a, b, c, d, e + first * a, f + first * b)
        numbers = [round(number, 6) for number in at[:4]] + [round(number, 2) for number in at[4:]]
        return [ContentStreamInstruction(numbers, Operator("Tm"))]
