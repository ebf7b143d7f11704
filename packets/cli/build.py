"""`packets build`: one packet from one client folder."""

import sys
from pathlib import Path

import click

from packets.base.errors import ExitStatus, UsageError
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
from packets.handover.examiner import examiner_at_hand
from packets.intake.titles import known_categories
from packets.pipeline_records import BuildRequest
from packets.recipe.model import Recipe
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
@click.option(
    "--for-mail",
    is_flag=True,
    help="Make it fit one message of the recipe's max_message_mb, or split it at part borders.",
)
@click.option(
    "--max-message-mb",
    type=click.IntRange(1, 150),
    help="The same with another limit, for a server that takes less or more.",
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
    for_mail: bool,
    max_message_mb: int | None,
    password_file: Path | None,
    key_password_file: Path | None,
    office: Path | None,
) -> Outcome:
    """Build one packet from the folder CLIENT and release it if the check finds nothing.

    Exit status 1 means that it was held: nothing was released, and the summary
    says why. Where the recipe asks for a review, the packet waits in to-review/ until
    a person has looked at it: packets review CLIENT. The passphrase is made up, asked
    for at the keyboard, or read from --password-file, as the recipe says. With
    --for-mail, pictures are brought down where the packet is too large for a message,
    and where that is not enough it becomes several numbered packets. Where office.toml
    names the office's key, packet and ledger are signed with it.
    """
    wanted = find_recipe(recipe, known_categories(), known_places()).recipe
    passphrase = packet_passphrase(wanted, password_file, surroundings.ask)
    key_passphrase = office_key_passphrase(client, office, key_password_file, surroundings.ask)
    most = _most_bytes(wanted, max_message_mb, for_mail=for_mail)
    request = BuildRequest(
        client=client,
        recipe=recipe,
        out=out,
        passphrase=passphrase,
        office=office,
        key_passphrase=key_passphrase,
        most_message_bytes=most,
    )
    # Made before the pipeline is loaded, so that both halves of the program load at once.
    with examiner_at_hand() as examine:
        report = surroundings.pipeline().build(request, surroundings.progress, examine)
    status = ExitStatus.CLEAN if report.released else ExitStatus.HELD
    reasons = count_of(len(report.held), "reason")
    return Outcome(
        status=status,
        document=lambda: build_form(report),
        show=lambda console: show_build(console, report, passphrase_may_show=sys.stdout.isatty()),
        note="" if report.released else f"Held: nothing was released; {reasons} in the summary.",
    )


def _most_bytes(recipe: Recipe, given_mb: int | None, *, for_mail: bool) -> int | None:
    """The largest whole message in bytes (a megabyte is 1,000,000), or None for no limit."""
    if not for_mail and given_mb is None:
        return None
    if not recipe.audience.masked:
        raise UsageError(
            f"a packet for the {recipe.audience.value} carries full numbers and is never mailed",
            where="--for-mail",
            remedy="Leave --for-mail and --max-message-mb away.",
        )
    return (given_mb or recipe.mail.max_message_mb) * 1_000_000
