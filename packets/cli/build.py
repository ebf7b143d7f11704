"""`packets build`: one packet from one client folder."""

import sys
from pathlib import Path

import click

from packets.base.errors import ExitStatus
from packets.cli.build_summary import show_build
from packets.cli.json_forms import build_form
from packets.cli.office_passphrase import office_key_passphrase
from packets.cli.options import (
    client_argument,
    json_option,
    key_password_file_option,
    office_option,
    password_file_option,
    recipe_option,
)
from packets.cli.outcome import Outcome
from packets.cli.passphrase import packet_passphrase
from packets.cli.plain_text import count_of
from packets.cli.surroundings import Surroundings
from packets.pipeline_records import BuildRequest
from packets.recipe.shelf import find_recipe
from packets.signatures.known_lines import known_places


@click.command("build", short_help="Build, mask, seal, check and release one packet.")
@client_argument
@recipe_option
@click.option(
    "--out",
    type=click.Path(file_okay=False, path_type=Path),
    help="Folder for the packet instead of the one inside CLIENT.",
)
@password_file_option
@key_password_file_option
@office_option
@json_option
@click.pass_obj
def command(
    surroundings: Surroundings,
    client: Path,
    recipe: str,
    out: Path | None,
    password_file: Path | None,
    key_password_file: Path | None,
    office: Path | None,
) -> Outcome:
    """Build one packet from the folder CLIENT and release it if the check finds nothing.

    Exit status 1 means that it was held: nothing was released, and the summary
    says why. The passphrase is made up, asked for at the keyboard, or read from
    --password-file, as the recipe says.
    """
    wanted = find_recipe(recipe, None, known_places()).recipe
    passphrase = packet_passphrase(wanted, password_file, surroundings.ask)
    key_passphrase = office_key_passphrase(client, office, key_password_file, surroundings.ask)
    request = BuildRequest(
        client=client,
        recipe=recipe,
        out=out,
        passphrase=passphrase,
        office=office,
        key_passphrase=key_passphrase,
    )
    report = surroundings.pipeline().build(request, surroundings.progress)
    status = ExitStatus.CLEAN if report.released else ExitStatus.HELD
    reasons = count_of(len(report.held), "reason")
    return Outcome(
        status=status,
        document=lambda: build_form(report),
        show=lambda console: show_build(console, report, passphrase_may_show=sys.stdout.isatty()),
        note="" if report.released else f"Held: nothing was released; {reasons} in the summary.",
    )
