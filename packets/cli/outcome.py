"""What a command hands to the door: an exit status and two ways to tell it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from packets.base.errors import ExitStatus

if TYPE_CHECKING:
    from rich.console import Console

    from packets.base.canonical import Json


@dataclass(frozen=True)
class Outcome:
    """The end of one command. Exactly one of the two forms is asked for."""

    status: ExitStatus
    document: Callable[[], dict[str, Json]]
    """The JSON document, without `outcome` and `exit_status`, which the door adds."""
    show: Callable[[Console], None]
    """Prints the same facts for a person, on standard output."""
    note: str = ""
    """One line for standard error when standard output is not being looked at."""


def envelope(status: ExitStatus, document: dict[str, Json]) -> dict[str, Json]:
    """The JSON document of a command, success or failure alike."""
    return {"outcome": OUTCOME_WORDS[status], "exit_status": int(status), **document}


OUTCOME_WORDS = {
    ExitStatus.CLEAN: "clean",
    ExitStatus.HELD: "held",
    ExitStatus.USAGE: "wrong",
    ExitStatus.REFUSED: "refused",
    ExitStatus.DELIVERY: "not delivered",
    ExitStatus.FAULT: "fault",
}
"""One word for each exit status, the same in JSON and on the screen."""
