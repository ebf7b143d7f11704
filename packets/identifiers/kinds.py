"""Kinds of numbers, known numbers, and the rules over which of them are masked."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

from packets.base.secret import Secret


class Kind(StrEnum):
    """What a number is. The words are the ones a user writes in files."""

    SSN = "ssn"
    ITIN = "itin"
    ATIN = "atin"
    EIN = "ein"
    ACCOUNT = "account"
    CARD = "card"
    IP_PIN = "ip-pin"
    """Six-digit identity protection PIN, and the five-digit PINs that sign an e-file."""


NINE_DIGIT_KINDS = frozenset({Kind.SSN, Kind.ITIN, Kind.ATIN, Kind.EIN})
ALL_KINDS = frozenset(Kind)
PERSONAL_KINDS = ALL_KINDS - {Kind.EIN}
"""What client and third-party packets mask unless the recipe says otherwise: an
employer's or payer's EIN is that firm's own number and stays (26 CFR 301.6109-4(b)(2)(iv))."""

MaskGlyph = Literal["X", "*"]
"""The two replacement characters that 26 CFR 301.6109-4(a) names."""


@dataclass(frozen=True)
class KnownNumber:
    """A number that somebody gave, or that a label in the documents named."""

    kind: Kind
    digits: Secret
    """Digits only, ASCII."""
    holder: str = ""
    """Role or name from identifiers.toml; empty for learned numbers."""
    given: bool = False
    """True when it stands in identifiers.toml: then it is masked whatever its kind."""


@dataclass(frozen=True)
class MaskPolicy:
    """Which numbers are masked in one packet, and with what."""

    kinds: frozenset[Kind] = PERSONAL_KINDS
    keep: frozenset[Kind] = frozenset()
    glyph: MaskGlyph = "X"

    def masks(self, kind: Kind, *, given: bool = False) -> bool:
        """Whether a number of this kind goes; a given number always does."""
        return given or (kind in self.kinds and kind not in self.keep)
