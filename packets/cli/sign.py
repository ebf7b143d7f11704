"""`packets sign`: who allowed which signature image, for what, until when."""

from pathlib import Path
from typing import Any, get_args

import click

from packets.base.errors import ExitStatus
from packets.cli.grant_options import evidence_of, evidence_options
from packets.cli.grant_sheet import grants_form, recorded_form, show_grants, show_recorded
from packets.cli.moments import Day, Moment
from packets.cli.options import EXISTING_FILE, client_argument, json_option, office_option
from packets.cli.outcome import Outcome
from packets.cli.sign_capture import capture
from packets.cli.sign_preview import preview
from packets.cli.surroundings import Surroundings
from packets.handover.grant_records import GrantRequest
from packets.recipe.model import Role
from packets.signatures.grant import How


@click.group("sign", short_help="Record, list or withdraw who allowed which signature.")
def command() -> None:
    """Record, list or withdraw who allowed which signature image, for what, until when."""


command.add_command(capture)
command.add_command(preview)


@command.command("record", short_help="Put a grant on record.")
@client_argument
@click.option(
    "--role",
    type=click.Choice([role.value for role in Role]),
    required=True,
    help="Whose signature it is.",
)
@click.option("--image", type=EXISTING_FILE, required=True, help="The signature: PNG, JPEG or SVG.")
@click.option(
    "--how", type=click.Choice(get_args(How)), required=True, help="The way in which it was given."
)
@click.option(
    "--covers",
    multiple=True,
    required=True,
    metavar="CATEGORY",
    help="A category that it covers, with *; give it once for each.",
)
@click.option("--until", type=Day(), required=True, help="Last day on which it may be placed.")
@click.option("--by", required=True, metavar="NAME", help="Who records it.")
@click.option(
    "--given-at",
    type=Moment(),
    help="When it was given, with the offset from UTC; now unless given.",
)
@click.option(
    "--signed", type=EXISTING_FILE, help="The document that was signed; the grant is bound to it."
)
@click.option(
    "--page",
    type=click.IntRange(min=1),
    help="Page of the signed form in it, where there are several.",
)
@click.option(
    "--bind",
    type=click.Choice(["both", "document", "figures"]),
    default="both",
    show_default=True,
    help="Bind to the document's SHA-256, to the figures on its Form 8879, or to both.",
)
@evidence_options
@click.option(
    "--id", "identity", default="", help="Name of the grant; the next free one unless given."
)
@click.option(
    "--store",
    type=click.Choice(["client", "office"]),
    default="client",
    show_default=True,
    help="Keep it in CLIENT, or in the office's own store (ERO and paid preparers).",
)
@office_option
@json_option
@click.pass_obj
def record(surroundings: Surroundings, /, client: Path, **given: Any) -> Outcome:
    """Put on record, in the folder CLIENT, that somebody allowed a signature image.

    The image is cleaned and copied; the grant is written behind those that are
    there; the ledger gets a line. The very same a second time is only told.
    """
    request = GrantRequest(
        client=client,
        role=Role(given["role"]),
        image=given["image"],
        how=given["how"],
        covers=given["covers"],
        valid_until=given["until"],
        recorded_by=given["by"],
        given_at=given["given_at"],
        identity=given["identity"],
        signed=given["signed"],
        page=given["page"],
        bind=given["bind"],
        identity_check=given["identity_check"],
        evidence=evidence_of(given),
        in_store=given["store"] == "office",
        office=given["office"],
    )
    recorded = surroundings.signing().record(request)
    return Outcome(
        status=ExitStatus.CLEAN,
        document=lambda: recorded_form(recorded),
        show=lambda console: show_recorded(console, recorded, "Recorded"),
    )


@command.command("list", short_help="List the grants and what each covers.")
@client_argument
@office_option
@json_option
@click.pass_obj
def list_grants(surroundings: Surroundings, client: Path, office: Path | None) -> Outcome:
    """List the grants of the folder CLIENT and of its office: state, papers, binding."""
    listed = surroundings.signing().listed(client, office)
    return Outcome(
        status=ExitStatus.CLEAN,
        document=lambda: grants_form(listed),
        show=lambda console: show_grants(console, listed),
    )


@command.command("withdraw", short_help="Withdraw a grant; it stays on record.")
@client_argument
@click.argument("grant")
@click.option("--why", required=True, help="The reason, in a few words.")
@office_option
@json_option
@click.pass_obj
def withdraw(
    surroundings: Surroundings, client: Path, grant: str, why: str, office: Path | None
) -> Outcome:
    """Withdraw the grant of this id: from now on it places nothing.

    It stays on record with its image, the reason and the time; the ledger gets a line.
    """
    gone = surroundings.signing().withdraw(client, grant, why, office)
    return Outcome(
        status=ExitStatus.CLEAN,
        document=lambda: recorded_form(gone),
        show=lambda console: show_recorded(console, gone, "Withdrawn"),
    )
