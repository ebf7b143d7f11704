"""What is asked of a check of folders, and what comes back."""

from dataclasses import dataclass
from pathlib import Path

from packets.base.secret import Secret
from packets.outbound.records import Judgement, Verdict


@dataclass(frozen=True)
class CheckRequest:
    """What is to be checked, and how."""

    paths: tuple[Path, ...]
    identifiers: Path | None = None
    password: Secret | None = None
    thorough: bool = False
    remember: bool = True
    """Whether files are passed over that were judged before and have not changed."""
    processes: int = 2


@dataclass(frozen=True)
class CheckReport:
    """What a check found."""

    verdicts: tuple[Verdict, ...]
    notes: tuple[str, ...] = ()
    """What the person should know besides; never a reason to hold a file."""

    @property
    def held(self) -> tuple[Verdict, ...]:
        """The verdicts that are not clean."""
        return tuple(each for each in self.verdicts if each.judgement is not Judgement.CLEAN)
