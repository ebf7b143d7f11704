"""What a person is shown of a packet, and what a person may decide about it.

Boxes are in points from the upper left corner of the page as it is shown, the same as
`place` in the manifest, unless a docstring says otherwise. Nothing here holds a full
number: a file is named as the manifest names it, and the passphrase travels as a `Secret`.
"""

from dataclasses import dataclass, field
from enum import StrEnum
from pathlib import Path
from typing import Protocol

from packets.base.canonical import Json
from packets.base.geometry import Box
from packets.base.progress import Progress
from packets.base.secret import Secret
from packets.decisions.packet_rows import (
    CheckRow,
    DecisionRow,
    LeftOutPages,
    OpenLine,
    PartRow,
    SourceRow,
)
from packets.pipeline_records import BuildReport
from packets.sealing.records import Released


class State(StrEnum):
    """Where a client folder stands; in the order in which they need a person."""

    UNREADABLE = "cannot be read"
    """engagement.toml or the ledger has a fault; `note` tells it."""
    HELD = "held"
    """The last build was held, or a person held its packet."""
    CHANGED = "changed since"
    """Documents, engagement.toml, signatures or recipe are not those of the last build."""
    TO_REVIEW = "to review"
    """A packet waits for a person to look."""
    RELEASED = "released"
    """It lies in outbound/ and was not sent from here."""
    NOTHING_BUILT = "nothing built"
    BUILT = "built"
    """A packet of the office's own or for the agency: it goes to no client."""
    SENT = "sent"


@dataclass(frozen=True)
class RecipeRow:
    """What became of the last build by one recipe."""

    recipe: str
    """Its name."""
    given: str
    """What `--recipe` was given: a name, or the path of a file. Empty where not recorded."""
    state: State
    packet: str
    """File name; empty for a build that was held."""
    sha256: str
    when: str
    """RFC 3339, UTC, of the ledger line that gave it its state."""
    note: str = ""
    """Why it is held, what was changed, or who sent it, in one sentence."""


@dataclass(frozen=True)
class ClientRow:
    """One client folder under the root."""

    folder: Path
    name: str
    """The folder below the root, with forward slashes; `.` for the root itself."""
    engagement_id: str
    household: str
    tax_year: int | None
    state: State
    """The most pressing of its recipes' states."""
    recipe: str
    """The recipe that has this state; empty where nothing was built."""
    when: str
    note: str
    recipes: tuple[RecipeRow, ...] = ()


@dataclass(frozen=True)
class Origin:
    """The source page that a packet page was made from."""

    file: str
    """As `LeftOutPages.file`; give it back in corrections."""
    page: int
    """From 1."""


@dataclass(frozen=True)
class Mark:
    """Something that was done at a place of the packet."""

    what: str
    """`masked`, `blanked` (a region that a person asked for), `let through` (a person says
    that it is no number) or `signed`."""
    words: str
    """For a person: `Social Security number, shows XXX-XX-6789`; `taxpayer, by grant …`."""
    page: int
    """Packet page, from 1."""
    box: Box


@dataclass(frozen=True)
class HoldReason:
    """Why something is held, and what to do about it."""

    words: str
    remedy: str
    origin: Origin | None = None
    """The source page that it is about, where it is about one."""


@dataclass(frozen=True)
class SealedBytes:
    """The packet as it will go out."""

    name: str
    path: Path
    sha256: str
    pages: int
    pdf: bytes = field(repr=False)
    passphrase: Secret | None
    """None where it was never kept: then the pages cannot be shown."""


@dataclass(frozen=True)
class ReviewCase:
    """All that a person needs to see before deciding about one packet."""

    client: Path
    engagement_id: str
    household: str
    tax_year: int
    recipe: str
    given: str
    """What `rebuild` is to be given as recipe."""
    title: str
    audience: str
    state: State
    engagement_sha256: str
    """Of engagement.toml as it lay there; give it back with a correction."""
    packet: SealedBytes | None
    """None for a build that was held: nothing was sealed."""
    manifest: dict[str, Json] | None
    sources: tuple[SourceRow, ...] = ()
    """Every file of the folder at the time of the build, also of one that was held."""
    parts: tuple[PartRow, ...] = ()
    origins: tuple[Origin | None, ...] = ()
    """For each packet page; None for a sheet of our own."""
    marks: tuple[Mark, ...] = ()
    """Down the packet."""
    left_out: tuple[LeftOutPages, ...] = ()
    open_lines: tuple[OpenLine, ...] = ()
    check: CheckRow = field(default_factory=lambda: CheckRow("not asked"))
    holds: tuple[HoldReason, ...] = ()
    stale: tuple[str, ...] = ()
    """What was changed since the build, in sentences; any refuses a release."""
    decisions: tuple[DecisionRow, ...] = ()
    """Newest last."""


@dataclass(frozen=True)
class PageCategory:
    """These pages are of another category."""

    file: str
    pages: tuple[int, ...]
    category: str


@dataclass(frozen=True)
class LeaveOut:
    """These pages stay out."""

    file: str
    pages: tuple[int, ...]
    why: str


@dataclass(frozen=True)
class BlankRegion:
    """A region of a page is taken out whole: text, pixels, drawings."""

    file: str
    page: int
    box: Box
    why: str


@dataclass(frozen=True)
class NotANumber:
    """What was masked at this place of the source page is no taxpayer number."""

    file: str
    page: int
    box: Box
    why: str


Correction = PageCategory | LeaveOut | BlankRegion | NotANumber


class ReviewDesk(Protocol):
    """What the pages ask. `packets.decisions.desk.Desk(office, key_password_file)` is the real one.

    Every function raises the errors of `packets.base.errors`; `str()` of them and their
    `remedy` may be shown. None of them keeps a state: each reads the folder anew.
    """

    def clients(self, root: Path) -> tuple[ClientRow, ...]:
        """Every client folder at or under `root`, those that need a person first; cheap."""
        ...

    def case(self, client: Path, recipe: str | None = None) -> ReviewCase:
        """The packet that waits, or the build that was held.

        `recipe` is a name or a path; None takes the one that needs a person most. Raises
        `UsageError` where nothing was built.
        """
        ...

    def release(self, client: Path, packet: str, sha256: str, who: str) -> Released:
        """Move the very packet that was looked at to outbound/.

        Raises `Held` for another hash, for one that was released before, that is not
        clean and proved, or that is stale.
        """
        ...

    def hold(self, client: Path, packet: str, sha256: str, who: str, note: str) -> None:
        """Put a person's no on record; the packet stays in to-review/."""
        ...

    def correct(
        self,
        client: Path,
        corrections: tuple[Correction, ...],
        who: str,
        *,
        engagement_sha256: str,
        packet_sha256: str = "",
    ) -> str:
        """Write them to engagement.toml; returns its new SHA-256. Rebuild to see the effect.

        `engagement_sha256` is that of the case that was looked at: where the file has
        changed since (another tab), `Held` is raised and nothing is written.
        """
        ...

    def rebuild(self, client: Path, recipe: str, progress: Progress) -> BuildReport:
        """Build again, with the office and key that the desk was given."""
        ...

    def categories(self) -> tuple[str, ...]:
        """Every category that a page may be given, sorted."""
        ...
