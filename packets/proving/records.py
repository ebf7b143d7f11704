"""What a proof is made of: hiding places, and what became of the number planted in each."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Protocol

from packets.base.progress import Progress
from packets.base.secret import Secret
from packets.identifiers.kinds import KnownNumber, MaskPolicy
from packets.outbound.recognition import Recogniser
from packets.outbound.records import Verdict
from packets.proving.copies import Copy


class Told(StrEnum):
    """Whether the check is told the planted number."""

    KNOWN = "known"
    """It is, as the numbers of identifiers.toml are; then any writing must be found."""
    UNKNOWN = "unknown"
    """It is not: shape, label or a bare run on a page must give the number away."""


class Outcome(StrEnum):
    """What the check made of one plant."""

    FOUND = "found"
    HELD_UNREAD = "held, as it cannot be read"
    """No reader opens such a file; the check said so and held the copy."""
    MISSED = "missed"


@dataclass(frozen=True)
class Place:
    """One place in a file where a number can hide."""

    family: str
    name: str
    plant: Callable[[Copy, str], None]
    """Puts the number, as it is written, into the copy."""
    told: Told = Told.UNKNOWN
    bare: bool = False
    """Written as nine digits in a row; else 3-2-4 with hyphens."""
    unread: bool = False
    """Whether it is enough that the check says that it cannot read this."""


@dataclass(frozen=True)
class Planted:
    """One row of the proof. Holds no number."""

    family: str
    place: str
    told: Told
    outcome: Outcome
    seen_by: tuple[str, ...]
    """Names of the readers that saw it."""

    @property
    def found(self) -> bool:
        """Whether the copy was held because of this plant."""
        return self.outcome is not Outcome.MISSED


@dataclass(frozen=True)
class Proof:
    """All rows of one file."""

    rows: tuple[Planted, ...]

    @property
    def found(self) -> int:
        """How many of the planted numbers the check found."""
        return sum(row.found for row in self.rows)

    @property
    def missed(self) -> tuple[str, ...]:
        """The places whose number was not found."""
        return tuple(row.place for row in self.rows if not row.found)

    @property
    def holds(self) -> bool:
        """Whether there was something to find, and all of it was found."""
        return bool(self.rows) and not self.missed


@dataclass(frozen=True)
class FileProof:
    """What `packets check --prove` says of one file."""

    verdict: Verdict
    """Of the file itself, with nothing planted."""
    proof: Proof | None
    """None where nothing could be planted."""
    why_not: str = ""


class Check(Protocol):
    """The outbound check, or what a test hands in instead."""

    def __call__(
        self,
        file: bytes,
        *,
        name: str,
        passphrase: Secret | None,
        known: Sequence[KnownNumber],
        policy: MaskPolicy,
        thorough: bool = False,
        ours: bool = False,
        progress: Progress = ...,
        recogniser: Recogniser | None = None,
    ) -> Verdict: ...
