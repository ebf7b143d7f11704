"""What a run of the whole pipeline is asked for, and what it reports."""

from dataclasses import dataclass
from pathlib import Path

from packets.base.secret import Secret
from packets.intake.records import Inventory
from packets.masking.records import Masked
from packets.outbound.records import Verdict
from packets.proving.records import Proof
from packets.sealing.records import PacketFacts, Released
from packets.selection.records import PagePlan
from packets.signatures.records import MissingSignature, RoleLines


@dataclass(frozen=True)
class BuildRequest:
    """One packet to build."""

    client: Path
    recipe: str
    """Name of a shipped recipe, or path of a recipe file."""
    out: Path | None = None
    """Folder for the packet instead of the one the audience decides."""
    passphrase: Secret | None = None
    """Given by the user; None lets the recipe decide (generate)."""
    office: Path | None = None
    """An office.toml; None for the nearest one from the client folder upward."""
    most_message_bytes: int | None = None
    """A mail message with the packet may have so many bytes; None for a packet of any size."""
    key_passphrase: Secret | None = None
    """Opens the office's key, where it is protected by a passphrase."""


@dataclass(frozen=True)
class BuildReport:
    """Everything a summary tells. `released` is None when the packet was held."""

    inventory: Inventory
    plan: PagePlan
    facts: PacketFacts
    verdict: Verdict | None
    """None for office and agency packets, which carry full numbers by design."""
    proof: Proof | None
    """Whether the check found what was planted in a copy; None where it was not asked."""
    released: Released | None
    held: tuple[str, ...]
    """Why nothing was released, in sentences; empty when released."""
    passphrase: Secret | None
    """Shown once on the terminal when it was generated in this run."""
    missing: tuple[MissingSignature, ...]
    left_behind: tuple[str, ...]
    seconds: float
    signature_lines: tuple[RoleLines, ...] = ()
    """Lines of the packet that ask for a signature, by role; empty when held before signing."""
    packets: tuple[Released, ...] = ()
    """All that was released: `released`, and where it was split for mail its siblings behind it."""
    fitted: tuple[str, ...] = ()
    """What was done so that it fits a message, in sentences."""

    @property
    def waits(self) -> bool:
        """Whether `released` and `packets` lie in to-review/ and wait for a person to look."""
        return self.released is not None and self.facts.review


@dataclass(frozen=True)
class MaskReport:
    """What `packets mask` did to one PDF."""

    source: Path
    target: Path | None
    """None when the copy was held."""
    pages: int
    masks: tuple[Masked, ...]
    left_behind: tuple[str, ...]
    verdict: Verdict
    held: tuple[str, ...]
