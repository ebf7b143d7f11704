"""`packets inventory`: each page, its category, the evidence."""

from pathlib import Path

import click

from packets.base.errors import ExitStatus
from packets.cli.json_forms import inventory_form
from packets.cli.options import client_argument, json_option
from packets.cli.outcome import Outcome
from packets.cli.page_tables import show_inventory
from packets.cli.surroundings import Surroundings


@click.command("inventory", short_help="List each page, its category and the evidence.")
@client_argument
@json_option
@click.pass_obj
def command(surroundings: Surroundings, client: Path) -> Outcome:
    """List each page of the folder CLIENT, its category, and the evidence for it."""
    inventory = surroundings.pipeline().inventory(client, surroundings.progress)
    return Outcome(
        status=ExitStatus.CLEAN,
        document=lambda: inventory_form(inventory),
        show=lambda console: show_inventory(console, inventory),
    )
