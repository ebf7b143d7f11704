"""`packets mask`: an unencrypted masked copy of one PDF."""

from pathlib import Path

import click

from packets.base.errors import ExitStatus, UsageError
from packets.cli.json_forms import mask_form
from packets.cli.mask_summary import show_mask
from packets.cli.options import (
    EXISTING_FILE,
    identifiers_option,
    json_option,
    password_file_option,
)
from packets.cli.outcome import Outcome
from packets.cli.surroundings import Surroundings
from packets.sealing.passphrase import from_file


@click.command("mask", short_help="Write an unencrypted masked copy of one PDF.")
@click.argument("source", metavar="IN.pdf", type=EXISTING_FILE)
@click.argument("target", metavar="OUT.pdf", type=click.Path(dir_okay=False, path_type=Path))
@identifiers_option
@password_file_option
@json_option
@click.pass_obj
def command(
    surroundings: Surroundings,
    source: Path,
    target: Path,
    identifiers: Path | None,
    password_file: Path | None,
) -> Outcome:
    """Write a copy of IN.pdf to OUT.pdf with every number of every kind masked.

    The copy is not encrypted. It is written only if the check finds nothing in
    it; OUT.pdf must not exist yet. --password-file opens a locked IN.pdf.
    """
    if target.exists() or target.is_symlink():
        # A held run would leave the older copy there, looking like this one.
        raise UsageError(
            "there is a file of this name already",
            where=str(target),
            remedy="Move it away or choose another name.",
        )
    password = from_file(password_file) if password_file else None
    report = surroundings.pipeline().mask(
        source, target, identifiers, password, surroundings.progress
    )
    return Outcome(
        status=ExitStatus.CLEAN if report.target else ExitStatus.HELD,
        document=lambda: mask_form(report),
        show=lambda console: show_mask(console, report),
        note="" if report.target else "Held: no masked copy was written; see the summary.",
    )
