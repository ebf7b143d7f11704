"""How a failure is told: what happened, where, and what to do next."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from packets.base.errors import ExitStatus, Fault
from packets.cli.outcome import OUTCOME_WORDS
from packets.cli.plain_text import plain

if TYPE_CHECKING:
    from rich.console import Console

    from packets.base.canonical import Json


@dataclass(frozen=True)
class Failure:
    """A run that ended in an error. Holds words only, never the error itself or its values."""

    status: ExitStatus
    kind: str
    """Name of the error class."""
    what: str
    where: str
    remedy: str
    faults: tuple[Fault, ...] = ()

    def document(self) -> dict[str, Json]:
        """The `error` member of the JSON document."""
        return {
            "error": {
                "kind": self.kind,
                "what": plain(self.what),
                "where": plain(self.where),
                "next": plain(self.remedy),
                "faults": [_fault_form(fault) for fault in self.faults],
            }
        }

    def show(self, console: Console) -> None:
        """Print it in up to four lines; the first word names the outcome."""
        word = OUTCOME_WORDS[self.status].capitalize()
        _line(console, f"{word}: ", self.what, style="bold red")
        if self.where:
            _line(console, "Where: ", self.where)
        _line(console, "Next:  ", self.remedy)


def _line(console: Console, label: str, text: str, style: str = "bold") -> None:
    from rich.text import Text  # noqa: PLC0415 - most commands do not fail

    # No wrapping: a message in a log stays on its line, and a terminal wraps by itself.
    console.print(Text.assemble((label, style), plain(text)), soft_wrap=True)


def _fault_form(fault: Fault) -> dict[str, Json]:
    return {
        "where": plain(fault.where),
        "what": plain(fault.what),
        "allowed": plain(fault.allowed),
        "nearest": plain(fault.nearest),
    }
