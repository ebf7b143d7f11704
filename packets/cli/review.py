"""`packets review`: a person looks at packets before they leave, and decides."""

from pathlib import Path
from typing import Any

import click
from rich.console import Console

from packets.base.errors import ExitStatus
from packets.cli.options import EXISTING_FILE, EXISTING_FOLDER, json_option, office_option
from packets.cli.outcome import Outcome
from packets.cli.surroundings import Surroundings
from packets.review.records import ReviewRequest


@click.command("review", short_help="Look at packets before they leave, in the browser.")
@click.argument("place", type=EXISTING_FOLDER, metavar="CLIENT|ROOT")
@click.option(
    "--recipe",
    default="",
    metavar="NAME|FILE",
    help="The packet to open; without it the one that needs a person most.",
)
@click.option(
    "--idle",
    type=click.IntRange(1, 240),
    default=30,
    show_default=True,
    metavar="MINUTES",
    help="The pages end after so long without a touch or key.",
)
@office_option
@click.option(
    "--key-password-file",
    type=EXISTING_FILE,
    help="File whose first line opens the office's key, for builds from the pages.",
)
@json_option
@click.pass_obj
def command(surroundings: Surroundings, /, place: Path, **given: Any) -> Outcome:
    """Open pages in the browser of this machine on which one person looks and decides.

    For CLIENT its packet: the pages as they will go out, what was masked and signed, what
    stays out, what the check read. For a folder of client folders a list of them first,
    with those on top that need a person. The address is printed on standard error: it
    opens once, on this machine alone.
    """
    request = ReviewRequest(
        place=place,
        recipe=given["recipe"],
        idle_minutes=given["idle"],
        office=given["office"],
        key_password_file=given["key_password_file"],
    )
    ending = surroundings.reviewing()(
        request,
        lambda address: surroundings.tell(_invitation(address, given["idle"])),
        surroundings.progress,
    )
    return Outcome(
        status=ExitStatus.CLEAN,
        document=lambda: {"ended": ending},
        show=lambda console: _show(console, ending),
    )


def _invitation(address: str, minutes: int) -> str:
    return (
        f"Open this address in the browser of this machine:\n\n  {address}\n\n"
        f"It opens once. The pages end {minutes} min after the last touch or key; "
        "Ctrl-C ends them now."
    )


def _show(console: Console, ending: str) -> None:
    """Why the pages ended."""
    why = "by a person" if ending == "done" else "nobody was there any more"
    console.print(f"The pages have ended: {why}. Each decision stands in the client's ledger.")
