"""What signing hands on."""

from dataclasses import dataclass

from packets.base.geometry import Box


@dataclass(frozen=True)
class Placement:
    """One signature image that was placed."""

    role: str
    document: int
    """Index into `Inventory.documents`."""
    page: int
    """Page number inside that document, from 1."""
    box: Box
    field: str
    grant: str
    """Identity of the grant that allows it."""
    image_sha256: str
    dated: str = ""
    """The date as printed beside it, or empty."""


@dataclass(frozen=True)
class MissingSignature:
    """A field that asks for a role and got nothing, with the reason."""

    role: str
    document: int
    page: int
    field: str
    why: str


@dataclass(frozen=True)
class SignedDocument:
    """A source document after signing, before flattening."""

    pdf: bytes
    placements: tuple[Placement, ...]
    missing: tuple[MissingSignature, ...]
