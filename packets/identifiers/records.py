"""A match of a number in a text."""

from dataclasses import dataclass
from enum import IntEnum

from packets.identifiers.kinds import Kind
from packets.identifiers.masked import hidden_positions


class Sureness(IntEnum):
    """How a match was recognised, weakest first."""

    BARE_RUN = 1
    SHAPE = 2
    LABELLED = 3
    KNOWN = 4

    @property
    def words(self) -> str:
        """For reports."""
        return ("bare run", "shape", "labelled", "known number")[self.value - 1]


@dataclass(frozen=True)
class TextMatch:
    """A number in a text. Holds places only, never digits."""

    kind: Kind
    digits: tuple[int, ...]
    """Indexes in the original text of the number's digits, in the number's order."""
    sureness: Sureness
    given: bool = False

    @property
    def how_sure(self) -> str:
        """`known number`, `labelled`, `shape` or `bare run`."""
        return self.sureness.words

    @property
    def start(self) -> int:
        """First index of the match in the text."""
        return min(self.digits)

    @property
    def end(self) -> int:
        """One past the last index of the match in the text."""
        return max(self.digits) + 1

    @property
    def hidden(self) -> tuple[int, ...]:
        """Indexes of the digits that masking takes out."""
        return tuple(self.digits[i] for i in hidden_positions(self.kind, len(self.digits)))
