"""What masking hands on."""

from dataclasses import dataclass

from packets.base.geometry import Box
from packets.identifiers.kinds import Kind


@dataclass(frozen=True)
class Masked:
    """One number that was masked. Holds nothing of what was taken out."""

    kind: Kind
    shown: str
    """What stands there now: `XXX-XX-6789`."""
    page: int
    """Page number inside the document that was masked, from 1."""
    place: Box
    within: str = "text"
    """`text`, `picture`, `drawing` or `barcode`."""


@dataclass(frozen=True)
class MaskedDocument:
    """A document after flattening, masking and the rebuild by list."""

    pdf: bytes
    masks: tuple[Masked, ...]
    pages: int
    left_behind: tuple[str, ...] = ()
    """What the rebuild by list did not take along, in words: scripts, attachments, metadata …"""
    unread: tuple[str, ...] = ()
    """Places that could not be read; a client or third-party packet is held for any."""
