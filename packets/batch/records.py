"""What a batch is asked for, what travels to a worker and back, and what is told in the end.

A job and a result may pass through a scheduler of others: they hold paths, digests
and figures, nothing besides. Reasons stay in the client folder (`client_record.py`).
"""

from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from packets.base.errors import ExitStatus


class Ending(StrEnum):
    """What became of one client."""

    DONE = "done"
    HELD = "held"
    REFUSED = "refused"
    """A file of this client is damaged, locked, over a limit, or has faults."""
    FAILED = "failed"
    """Our own fault, a worker that died, or the time limit."""
    UNCHANGED = "unchanged"
    """Nothing that decides over the packet is other than when it was made."""


@dataclass(frozen=True)
class BatchOrder:
    """One season: every client folder under a root, by one recipe."""

    root: Path
    recipe: str
    office: Path | None = None
    key_password_file: Path | None = None
    afresh: bool = False
    """Build also what has not changed."""
    keep_masked: bool = True
    """Whether masked sources are kept for the next recipe."""


@dataclass(frozen=True)
class ClientJob:
    """One client, as a worker is told of it."""

    client: str
    """Absolute path of the client folder."""
    recipe: str
    """Name of a shipped recipe, or absolute path of a file."""
    recipe_sha256: str
    program: str
    """Digest of the program that hands out the job: a worker of another version refuses it."""
    run: str
    """Random name of the batch, so that a job that is handed out twice is told as one."""
    office: str = ""
    key_password_file: str = ""
    """Path of the file; what stands in it is read by the worker."""
    afresh: bool = False
    keep_masked: bool = True


@dataclass(frozen=True)
class JobResult:
    """What a worker sends back."""

    ending: Ending
    status: ExitStatus
    pages: int = 0
    seconds: float = 0.0
    sha256: tuple[str, ...] = ()
    """Of each packet."""
    recorded: bool = True
    """Whether the client's record tells the rest."""
    note: str = ""
    """Why there is no record; never a word from a file."""


@dataclass(frozen=True)
class MadePacket:
    """A packet that a record vouches for."""

    path: str
    """Inside the client folder, with forward slashes."""
    sha256: str


@dataclass(frozen=True)
class ClientOutcome:
    """One line of the table."""

    client: Path
    ending: Ending
    status: ExitStatus
    packets: tuple[MadePacket, ...] = ()
    pages: int = 0
    seconds: float = 0.0
    why: tuple[str, ...] = ()
    """Reasons, or what else a person should know, in sentences."""


@dataclass(frozen=True)
class BatchReport:
    """All of it, in the order of the folders' names."""

    order: BatchOrder
    outcomes: tuple[ClientOutcome, ...]
    seconds: float
    workers: str
    """`2 processes`, or the cluster's address."""

    @property
    def status(self) -> ExitStatus:
        """The worst of all: the one with the largest number."""
        return max((outcome.status for outcome in self.outcomes), default=ExitStatus.CLEAN)

    def count(self, ending: Ending) -> int:
        """How many clients ended so."""
        return sum(outcome.ending is ending for outcome in self.outcomes)
