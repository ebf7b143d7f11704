"""`packets sign capture`: somebody signs on a page of this machine."""

from pathlib import Path
from typing import Any

import click
from rich.console import Console

from packets.base.canonical import Json
from packets.base.errors import ExitStatus
from packets.cli.grant_options import evidence_of, evidence_options
from packets.cli.grant_sheet import recorded_form, show_recorded
from packets.cli.moments import Day
from packets.cli.options import EXISTING_FILE, client_argument, json_option, office_option
from packets.cli.outcome import Outcome
from packets.cli.plain_text import plain
from packets.cli.sheet import Verbatim, lines
from packets.cli.surroundings import Surroundings
from packets.handover.grant_records import NOT_DRAWN_YET, GrantRequest, RecordedGrant
from packets.recipe.model import Role

HOW = ("on-screen", "signature-pad", "remote")


@click.command("capture", short_help="Let somebody sign on a page of this machine.")
@client_argument
@click.option(
    "--role",
    type=click.Choice([role.value for role in Role]),
    required=True,
    help="Who signs.",
)
@click.option(
    "--document",
    type=EXISTING_FILE,
    required=True,
    help="The document that is signed; it is shown, and the grant is bound to it.",
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
    "--how",
    type=click.Choice(HOW),
    default="on-screen",
    show_default=True,
    help="On this screen, on a signature pad, or by one who is elsewhere.",
)
@click.option(
    "--page",
    type=click.IntRange(min=1),
    help="Page of the signed form in it, where there are several.",
)
@evidence_options
@click.option(
    "--idle",
    type=click.IntRange(1, 120),
    default=10,
    show_default=True,
    metavar="MINUTES",
    help="The page ends after so long without a touch or key.",
)
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
def capture(surroundings: Surroundings, /, client: Path, **given: Any) -> Outcome:
    """Open a page on which somebody reads a document and signs it with pen, finger or mouse.

    The address is printed on standard error: it opens once, on this machine alone.
    The document is shown without its full numbers. What was drawn is recorded as by
    `packets sign record`, bound to the document and to the figures on its Form 8879.
    """
    request = GrantRequest(
        client=client,
        role=Role(given["role"]),
        image=NOT_DRAWN_YET,
        how=given["how"],
        covers=given["covers"],
        valid_until=given["until"],
        recorded_by=given["by"],
        identity=given["identity"],
        signed=given["document"],
        page=given["page"],
        identity_check=given["identity_check"],
        evidence=evidence_of(given),
        in_store=given["store"] == "office",
        office=given["office"],
    )
    recorded = surroundings.capturing()(
        request,
        given["idle"],
        lambda address: surroundings.tell(_invitation(address, given["idle"])),
        surroundings.progress,
    )
    return Outcome(
        status=ExitStatus.CLEAN,
        document=lambda: captured_form(recorded),
        show=lambda console: show_captured(console, recorded),
    )


def _invitation(address: str, minutes: int) -> str:
    return (
        f"Open this address in the browser of this machine:\n\n  {address}\n\n"
        f"It opens once. The page ends {minutes} min after the last touch or key; "
        "Ctrl-C ends it now, with nothing recorded."
    )


def show_captured(console: Console, recorded: RecordedGrant) -> None:
    """The grant, and the digest to which it is bound."""
    show_recorded(console, recorded, "Signed and recorded")
    grant = recorded.grant
    drawing = (recorded.home / grant.image).with_suffix(".svg")
    lines(
        console,
        [("outlines", Verbatim(drawing)), ("document", Verbatim(grant.document_sha256))],
    )


def captured_form(recorded: RecordedGrant) -> dict[str, Json]:
    """The same as of `packets sign record`, and where the outlines lie."""
    drawing = Path(recorded.grant.image).with_suffix(".svg").name
    return {**recorded_form(recorded), "drawing": plain(drawing)}
