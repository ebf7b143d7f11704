"""`packets ledger`: show or verify what was released for a client."""

from collections.abc import Callable
from pathlib import Path

import click
from rich.console import Console

from packets.base.errors import ExitStatus
from packets.cli.json_forms import ledger_form
from packets.cli.options import client_argument, json_option
from packets.cli.outcome import Outcome
from packets.cli.plain_text import count_of
from packets.cli.sheet import BAD, GOOD, Verbatim, columns, heading, lines, points, say
from packets.sealing.ledger import Entry, LedgerVerdict, entries, verify

BROKEN_NEXT = (
    "Keep both ledger files as they are, compare them with your last backup, and find out "
    "who changed them before you build for this client again."
)


@click.group("ledger", short_help="Show or verify what was released.")
def command() -> None:
    """Show or verify what was released for a client."""


@command.command("show", short_help="List the events of a client's ledger.")
@client_argument
@json_option
def show(client: Path) -> Outcome:
    """List the events in the ledger of the folder CLIENT, oldest first.

    Exit status 1 means that the ledger is not whole: what is shown ends before
    the first bad line.
    """
    verdict, listed = verify(client), entries(client)
    return _outcome(verdict, listed, lambda console: _show_events(console, verdict, listed))


@command.command("verify", short_help="Check that no line was changed, cut or put in.")
@client_argument
@json_option
def verify_ledger(client: Path) -> Outcome:
    """Check that no line in the ledger of the folder CLIENT was changed, cut off or put in.

    Exit status 1 means that one was. Note the printed head elsewhere from time
    to time: only that shows a ledger that was rewritten as a whole.
    """
    verdict = verify(client)
    return _outcome(verdict, (), lambda console: _show_verdict(console, verdict))


def _outcome(
    verdict: LedgerVerdict, listed: tuple[Entry, ...], show: Callable[[Console], None]
) -> Outcome:
    return Outcome(
        status=ExitStatus.CLEAN if verdict.sound else ExitStatus.HELD,
        document=lambda: ledger_form(verdict, listed),
        show=show,
        note="" if verdict.sound else "Held: the ledger is not whole.",
    )


def _show_events(console: Console, verdict: LedgerVerdict, listed: tuple[Entry, ...]) -> None:
    if listed:
        rows = [(str(entry.line), entry.at, entry.event, _facts(entry)) for entry in listed]
        columns(console, rows, names=("line", "when (UTC)", "what", "facts"), narrow=(0, 1))
    _show_verdict(console, verdict)


def _facts(entry: Entry) -> str:
    """The plain facts of a line; digests by their first twelve digits."""
    return ", ".join(
        f"{name} {str(value)[:12] if name.endswith('sha256') else value}"
        for name, value in entry.facts.items()
        if isinstance(value, str | int | float) and value != ""
    )


def _show_verdict(console: Console, verdict: LedgerVerdict) -> None:
    good = count_of(verdict.lines, "line") if verdict.lines else "no line yet"
    if verdict.sound:
        say(console, ("Whole", GOOD), f": {good}; each is bound to the one before.")
        lines(console, [("head", Verbatim(verdict.head))])
        return
    say(
        console,
        ("Not whole", BAD),
        f": line {verdict.bad_line} is the first bad one, {verdict.why}.",
    )
    points(console, [f"Good before it: {good}."])
    heading(console, "Next")
    points(console, [BROKEN_NEXT])
