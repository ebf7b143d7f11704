"""What sealing takes and hands on; the manifest's shape is the contract of design.md."""

import datetime as dt
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from packets.base.secret import Secret

ALGORITHM = "AES-256"
REVISION: Final = 6
"""Of the standard security handler (ISO 32000-2:2020, Table 21)."""
NOT_ENCRYPTED = "none"
"""Algorithm of an agency packet; its revision is 0."""


@dataclass(frozen=True)
class SourceSignatureLine:
    """A cryptographic signature of a source file, as it was found."""

    field: str
    signer: str
    signed_at: str
    """By the signer's own clock; empty where it does not say."""
    verdict: str
    """`valid`, `not valid` or `present, not verified`."""


@dataclass(frozen=True)
class SourceLine:
    """A source file in the manifest."""

    file: str
    sha256: str
    pages: int
    used: int
    left_out: tuple[tuple[tuple[int, ...], str], ...]
    """Pairs of page numbers and the reason."""
    signatures: tuple[SourceSignatureLine, ...] = ()
    """Cryptographic signatures that the file bears; in force there, not in the packet."""


@dataclass(frozen=True)
class MaskLine:
    """A mask in the manifest."""

    kind: str
    shown: str
    page: int
    """Packet page number, from 1."""
    place: tuple[float, float, float, float]


@dataclass(frozen=True)
class SignatureLine:
    """A placed signature in the manifest."""

    role: str
    page: int
    place: tuple[float, float, float, float]
    grant: str
    image_sha256: str


@dataclass(frozen=True)
class ReaderLine:
    """One reader of the outbound check."""

    name: str
    version: str
    pages: int
    findings: int


@dataclass(frozen=True)
class ProofLine:
    """One number that was planted in a copy to see whether the check finds it."""

    place: str
    found: bool


@dataclass(frozen=True)
class RetentionLine:
    """A date until which something must be kept, with its source."""

    rule: str
    keep_until: dt.date
    source: str


@dataclass(frozen=True)
class SetLine:
    """One of the numbered packets that a build was split into."""

    number: int
    """From 1."""
    sha256: str
    bytes: int
    pages: int
    headings: tuple[str, ...]
    """Of its parts."""


@dataclass(frozen=True)
class OriginLine:
    """Neighbouring packet pages that were made from neighbouring pages of one source."""

    first_page: int
    """In the packet, from 1."""
    pages: int
    source: int
    """Index into the manifest's `sources`."""
    from_page: int
    """In the source, from 1."""


@dataclass(frozen=True)
class OpenSignatureLine:
    """A line of the packet that asks for a signature and has none."""

    role: str
    source: int
    """Index into the manifest's `sources`."""
    page: int
    """In the source, from 1."""
    why: str


@dataclass(frozen=True)
class LetThroughLine:
    """A place where a person says that no taxpayer number stands; it is left as it is."""

    page: int
    """Packet page number, from 1."""
    place: tuple[float, float, float, float]
    why: str


@dataclass(frozen=True)
class PacketFacts:
    """All that the manifest says, gathered by the pipeline."""

    packet: str
    """File name of the packet."""
    title: str
    pages: int
    content_sha256: str
    """SHA-256 of the packet before encryption; the same for the same input."""
    recipe_name: str
    recipe_sha256: str
    engagement_id: str
    tax_year: int
    built_at: dt.datetime
    sources: tuple[SourceLine, ...]
    parts: tuple[tuple[str, int, int], ...]
    """Heading, first page, pages."""
    masks: tuple[MaskLine, ...]
    signatures: tuple[SignatureLine, ...]
    verdict: str
    """`clean`, `held` or `not asked` (office and agency copies)."""
    readers: tuple[ReaderLine, ...]
    proof: tuple[ProofLine, ...]
    """Empty where the check was not asked."""
    retention: tuple[RetentionLine, ...]
    tools: tuple[tuple[str, str], ...]
    """Name and version of every library that touched the packet."""
    number: int = 1
    """Which of the numbered packets of one build this is."""
    whole_set: tuple[SetLine, ...] = ()
    """All numbered packets of that build, this one among them; empty for a packet on its own."""
    inputs: tuple[tuple[str, str], ...] = ()
    """What it was made from besides its sources: each name with a digest, for the ledger."""
    recipe_given: str = ""
    """The recipe as it was asked for: a name, or the path of a file."""
    review: bool = False
    """It waits in `to-review/` until a person has looked at it."""
    origins: tuple[OriginLine, ...] = ()
    """In a packet that waits: where each page comes from."""
    open_lines: tuple[OpenSignatureLine, ...] = ()
    """In a packet that waits: lines that ask for a signature and have none."""
    let_through: tuple[LetThroughLine, ...] = ()
    """What would be masked by its shape but that a person says what it is."""

    @property
    def name_stem(self) -> str:
        """What stands behind the engagement id in the file name: recipe, and number in the set."""
        of = len(self.whole_set)
        return f"{self.recipe_name}-{self.number}of{of}" if of else self.recipe_name


@dataclass(frozen=True)
class SealedPacket:
    """Encrypted bytes with the passphrase that opens them."""

    pdf: bytes = field(repr=False)
    sha256: str
    passphrase: Secret | None
    """None for an agency packet; else as SASLprep makes it, to be written down and told."""
    algorithm: str
    """`AES-256`, or `none` for an agency packet."""
    revision: int
    """6, or 0 for an agency packet."""


@dataclass(frozen=True)
class Released:
    """A packet under its final name."""

    packet: Path
    manifest: Path
    key_file: Path | None
    sha256: str
    pages: int
    signature: Path | None = None
    """The office's signature on it, where office.toml names a key."""
    notes: tuple[str, ...] = ()
    """What the office should know about the recording of it, in sentences."""
