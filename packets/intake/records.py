"""What intake hands on: the client folder, its documents, and the inventory of pages."""

from dataclasses import dataclass, field
from enum import StrEnum
from pathlib import Path

from packets.base.secret import Secret
from packets.intake.engagement import EngagementFile
from packets.reading.records import FirstLook


class EvidenceKind(StrEnum):
    """How a page came by its category, strongest first."""

    ENGAGEMENT = "engagement"
    FOLDER = "folder"
    TITLE = "title"
    CONTINUED = "continued"
    NONE = "none"


@dataclass(frozen=True)
class Evidence:
    """Why a page has its category."""

    kind: EvidenceKind
    words: str
    """What was read, in words for a person; never a taxpayer number."""
    sure: bool = True


class SignatureVerdict(StrEnum):
    """Whether a cryptographic signature holds."""

    VALID = "valid"
    NOT_VALID = "not valid"
    NOT_VERIFIED = "present, not verified"


@dataclass(frozen=True)
class SourceSignature:
    """A cryptographic signature that a source file bears (ISO 32000-2, 12.8)."""

    field: str
    """Full name of the signature field."""
    signer: str
    """By the certificate; where it was not verified, what the signature claims."""
    signed_at: str
    """By the signer's own clock, as written there; empty where it does not say."""
    verdict: SignatureVerdict
    why: str
    """What was judged and what was not, in words."""

    @property
    def words(self) -> str:
        """All of it in one line."""
        who = self.signer or "a signer without a name"
        when = f", {self.signed_at}" if self.signed_at else ""
        return f"{who}{when}: {self.verdict.value} ({self.why})"


@dataclass(frozen=True)
class SourceDocument:
    """One file of `documents/`, as PDF bytes that the later stations can open.

    `pdf` is the file itself for a PDF (unlocked in memory where it was locked),
    and for a picture a PDF whose pages have the picture's own size and resolution.
    """

    file: str
    """Path inside the client folder, with forward slashes."""
    sha256: str
    """Of the file as it lies in the folder."""
    pdf: bytes
    pages: int
    media: str
    """`application/pdf`, `image/png`, `image/jpeg` or `image/tiff`."""
    notes: tuple[str, ...] = ()
    signatures: tuple[SourceSignature, ...] = ()
    """Cryptographic signatures of the file as it came; no packet keeps them in force."""


@dataclass(frozen=True)
class InventoryPage:
    """One page of one document."""

    document: int
    """Index into `Inventory.documents`."""
    number: int
    """Page number inside the document, from 1."""
    category: str | None
    evidence: Evidence
    title: str = ""
    """The form's name as a person says it: `Form 1040`, `Schedule C`, `Form W-2`."""
    tax_year: int | None = None
    jurisdiction: str = ""
    """Two-letter state code for state forms, else empty."""
    sequence: str = ""
    """Attachment sequence number as printed or as known for the form: `08`, `12A`."""
    form_page: int | None = None
    """Which page of its form this is, where it says so."""
    read_by: str = "text"
    """`text`, `ocr` or `nothing`."""
    to_be_filed: bool = False
    """True for a page that is itself to be filed or paid with (a voucher, a Copy A)."""
    letters: Secret = field(default=Secret(""), repr=False)
    """Letters and digits of its own text as labels are compared with them; empty on scans."""
    look: FirstLook | None = field(default=None, repr=False)
    """What its strings tell of numbers, for whoever looks for them in the same bytes; or None."""


@dataclass(frozen=True)
class Inventory:
    """Every page of every document, and what a person should look at."""

    folder: Path
    engagement: EngagementFile
    documents: tuple[SourceDocument, ...]
    pages: tuple[InventoryPage, ...]
    unsure: tuple[str, ...] = ()
    """Sentences: unsure categories, pages out of order, a form whose page is missing."""
