"""What the page is told, in one record."""

from dataclasses import dataclass

from packets.handover.shown_copy import ScreenPages


@dataclass(frozen=True)
class Sheet:
    """Everything that the page shows; no full number, no passphrase, no path."""

    file: str
    """Name of the document that is signed."""
    household: str
    engagement: str
    name: str
    """Of the signer; empty where the engagement does not name them."""
    role: str
    """In words: `the taxpayer`."""
    method: str
    until: str
    covers: str
    """The papers for which it is given, in words."""
    consent: str
    fingerprint: str
    """SHA-256 of the document, in groups of four."""
    figures: tuple[tuple[str, str], ...]
    """Name and amount of what stands on the form and is bound with it; empty for other papers."""
    identity: tuple[str, ...]
    """How the signer's identity was checked, in words."""
    recorded_by: str
    idle_minutes: int
    pages: ScreenPages
