"""What is asked of the keeping of grants, and what it reports; no PDF library in sight."""

import datetime as dt
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

from packets.recipe.model import Role
from packets.signatures.grant import Evidence, Grant

Bind = Literal["both", "document", "figures"]


@dataclass(frozen=True)
class DrawnSignature:
    """A signature that our own page drew from strokes: nothing in it but ink."""

    png: bytes = field(repr=False)
    """Ink on nothing, without metadata."""
    svg: bytes = field(repr=False)
    """The same ink as outlines: filled paths alone."""


NOT_DRAWN_YET = DrawnSignature(b"", b"")
"""What stands in a request before anybody has signed."""


@dataclass(frozen=True)
class GrantRequest:
    """A grant to be recorded."""

    client: Path
    role: Role
    image: Path | DrawnSignature
    how: str
    covers: tuple[str, ...]
    valid_until: dt.date
    recorded_by: str
    given_at: dt.datetime | None = None
    """With its offset from UTC; None for now, here."""
    identity: str = ""
    """The grant's id; empty for the next free one."""
    signed: Path | None = None
    """The document that the person signed; the grant is bound to it."""
    signed_sha256: str = ""
    """What the signer was shown had this SHA-256; another file there now is refused."""
    page: int | None = None
    """Page of Form 8879 in that document, from 1, where there are several."""
    bind: Bind = "both"
    identity_check: str = ""
    evidence: Evidence = field(default_factory=Evidence)
    consent: str = ""
    """The sentence to which the signer agreed."""
    in_store: bool = False
    """Keep it in the office's store instead of the client folder."""
    office: Path | None = None
    """An office.toml; None for the nearest one from the client folder upward."""


@dataclass(frozen=True)
class RecordedGrant:
    """A grant that is on record now."""

    grant: Grant
    home: Path
    """The folder in which it lies."""
    was_there: bool = False
    """True where the very same was recorded before: nothing was written."""


@dataclass(frozen=True)
class ListedGrant:
    """A grant of a client folder or of the office's store, as things stand on one day."""

    grant: Grant
    state: Literal["valid", "not yet", "expired", "withdrawn"]
    in_store: bool
