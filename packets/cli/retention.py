"""`packets retention`: what may be disposed of on a day, and what must be kept."""

import datetime as dt
from pathlib import Path

import click

from packets.base.errors import ExitStatus
from packets.cli.moments import Day
from packets.cli.options import EXISTING_FOLDER, json_option
from packets.cli.outcome import Outcome
from packets.cli.retention_sheet import retention_form, show_retention
from packets.handover.retention_survey import survey


@click.command("retention", short_help="List what may be disposed of on a day.")
@click.argument("root", type=EXISTING_FOLDER)
@click.option("--on", type=Day(), help="The day to judge for; today unless given.")
@json_option
def command(root: Path, on: dt.date | None) -> Outcome:
    """List what may be disposed of on a day in every client folder under ROOT. Delete nothing.

    With it: what must be kept, until when, by which rule and source. Counted from the
    dates in engagement.toml and those that the ledger recorded; the later one counts.
    Exit status 1 means that a folder could not be judged: nothing of it may go.
    """
    day = on or dt.date.today()
    clients = survey(root, day, is_today=on is None)
    unread = any(client.unread for client in clients)
    return Outcome(
        status=ExitStatus.HELD if unread else ExitStatus.CLEAN,
        document=lambda: retention_form(day, clients),
        show=lambda console: show_retention(console, root, day, clients),
        note="Held: a client folder could not be judged." if unread else "",
    )
