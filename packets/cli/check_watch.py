"""`packets check --watch`: tell what is held, until Ctrl-C ends it."""

from __future__ import annotations

import datetime as dt
import signal
from typing import TYPE_CHECKING, NoReturn

from rich.console import Console

from packets.base.canonical import Json
from packets.base.errors import ExitStatus
from packets.cli.check_sheet import one_line
from packets.cli.outcome import Outcome
from packets.cli.plain_text import count_of, plain
from packets.cli.sheet import heading, points
from packets.cli.surroundings import Surroundings
from packets.cli.verdict_form import verdict_form
from packets.handover.check_request import CheckRequest

if TYPE_CHECKING:
    from packets.outbound.watching import Judged


def watched(surroundings: Surroundings, request: CheckRequest) -> Outcome:
    """Watch until interrupted; each file that is held is told at once."""
    clean = 0
    held: list[Judged] = []

    def tell(judged: Judged) -> None:
        nonlocal clean
        if judged.held_as is None and not judged.fault:
            clean += 1
            return
        held.append(judged)
        surroundings.tell(_line(judged))

    surroundings.tell("Watching. Ctrl-C ends it.")
    ended_before = signal.signal(signal.SIGTERM, _interrupt)
    try:
        surroundings.checking().watch(request, tell, surroundings.progress)
    except KeyboardInterrupt:
        surroundings.tell("The watch has ended.")
    finally:
        signal.signal(signal.SIGTERM, ended_before)
    return Outcome(
        status=ExitStatus.HELD if held else ExitStatus.CLEAN,
        document=lambda: {"clean": clean, "held": [_form(each) for each in held]},
        show=lambda console: _show(console, clean, held),
        note=f"Held: {count_of(len(held), 'file')}." if held else "",
    )


def _interrupt(number: int, frame: object) -> NoReturn:  # noqa: ARG001 - as the system calls it
    """A service manager ends a watch as Ctrl-C does."""
    raise KeyboardInterrupt


def _line(judged: Judged) -> str:
    verdict = judged.verdict
    seen = count_of(len(verdict.sightings), "sighting")
    unread = count_of(len(verdict.unread), "place")
    now = dt.datetime.now().astimezone().strftime("%H:%M:%S")
    where = f"moved to {_place(judged)}" if judged.held_as else f"NOT MOVED: {judged.fault}"
    name = plain(one_line(verdict.file))
    first = f" ({plain(one_line(verdict.unread[0]))})" if verdict.unread else ""
    return f"{now}  held: {name}: {seen} of a full number, {unread} not readable{first}; {where}"


def _place(judged: Judged) -> str:
    """The numbered folder; the file's own name may show what must not be told."""
    assert judged.held_as is not None
    return f"held/{judged.held_as.parent.name}"


def _form(judged: Judged) -> dict[str, Json]:
    return {
        **verdict_form(judged.verdict),
        "moved_to": _place(judged) if judged.held_as else None,
        "fault": judged.fault,
    }


def _show(console: Console, clean: int, held: list[Judged]) -> None:
    heading(console, "Watched")
    points(console, [f"{count_of(clean, 'file')} clean, {count_of(len(held), 'file')} held."])
