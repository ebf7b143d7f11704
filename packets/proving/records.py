"""What a proof says: what became of the number that was planted in each place."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from typing import TYPE_CHECKING, Protocol

from packets.base.progress import Progress
from packets.base.secret import Secret
from packets.identifiers.kinds import KnownNumber, MaskPolicy
from packets.outbound.records import Judgement, Verdict

if TYPE_CHECKING:  # the command line reads these records, and loads no PDF library for it
    from packets.outbound.recognition import Recogniser


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
    is_pdf: bool = False
    why_not: str = ""
    """Why nothing was planted, in words."""

    @property
    def holds(self) -> bool:
        """Whether the file is clean, and a PDF's proof found all that was planted."""
        proved = self.proof.holds if self.proof is not None else not self.is_pdf
        return proved and self.verdict.judgement is Judgement.CLEAN


@dataclass(frozen=True)
class Examination:
    """A packet of ours that waits to go out: what its check and the proof of it are given."""

    name: str
    packet: bytes = field(repr=False)
    """With every number masked, and sealed."""
    passphrase: Secret | None
    known: tuple[KnownNumber, ...]
    policy: MaskPolicy
    as_sent: bytes | None = field(default=None, repr=False)
    """The packet with what a person lets through, where somebody lets anything through."""
    known_as_sent: tuple[KnownNumber, ...] = ()


@dataclass(frozen=True)
class Examined:
    """What was found. What comes later is None where something before it holds the packet."""

    verdict: Verdict
    proof: Proof | None = None
    as_sent: Verdict | None = None


class Examine(Protocol):
    """Examines a packet: in this process, or in one of its own."""

    def __call__(self, order: Examination, progress: Progress) -> Examined: ...


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
