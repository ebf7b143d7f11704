"""How a long run tells where it is, without knowing who listens."""

from dataclasses import dataclass
from typing import Protocol


@dataclass(frozen=True)
class Step:
    """One sign of progress: a station, what it is on, how far."""

    station: str
    detail: str = ""
    done: int = 0
    total: int = 0


class Progress(Protocol):
    """Anything that wants to hear about steps."""

    def __call__(self, step: Step) -> None: ...


def silent(step: Step) -> None:
    """Hear nothing."""
