"""What a proof of a packet takes and hands on."""

from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from packets.sealing.office_key import PublicKey


class Standing(StrEnum):
    """How one question of a proof was answered."""

    PROVED = "proved"
    NOT_PROVED = "not proved"
    """The paper for it is not there, or nothing that could prove it was given."""
    CONTRADICTED = "contradicted"


@dataclass(frozen=True)
class Finding:
    """One question with its answer."""

    what: str
    """`manifest`, `packet`, `checksum list`, `ledger`, `signature` or `ledger signature`."""
    standing: Standing
    words: str
    key: str = ""
    """Fingerprint of the key that is said to have signed, where there is a signature."""


@dataclass(frozen=True)
class ProofPapers:
    """A packet's name, size and digest, and the bytes of whatever papers are there."""

    packet: str
    sha256: str
    size: int
    manifest: bytes | None = None
    checksum_list: bytes | None = None
    signature: bytes | None = None
    ledger: bytes | None = None
    head: bytes | None = None
    head_signature: bytes | None = None
    keys: tuple[PublicKey, ...] = ()
    """Public keys that the person who asks trusts."""
    key_given: bool = False
    """Whether a signature was asked for by name, so that one without proof is not enough."""


@dataclass(frozen=True)
class PacketProof:
    """All answers about one packet."""

    packet: Path
    sha256: str
    findings: tuple[Finding, ...]
    key_given: bool = False

    @property
    def proved(self) -> bool:
        """Nothing contradicts, the manifest describes it, and an anchor holds."""
        standing = {finding.what: finding.standing for finding in self.findings}
        anchors = ("signature",) if self.key_given else ("signature", "ledger")
        return (
            Standing.CONTRADICTED not in standing.values()
            and standing["manifest"] is standing["packet"] is Standing.PROVED
            and any(standing[anchor] is Standing.PROVED for anchor in anchors)
        )
