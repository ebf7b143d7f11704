"""`packets plan`: what would go in, page by page, and why; builds nothing."""

from pathlib import Path

import click

from packets.base.errors import ExitStatus
from packets.cli.json_forms import plan_form
from packets.cli.options import client_argument, json_option, office_option, recipe_option
from packets.cli.outcome import Outcome
from packets.cli.page_tables import show_plan
from packets.cli.plain_text import count_of
from packets.cli.surroundings import Surroundings


@click.command("plan", short_help="Show what would go in, page by page, and why.")
@client_argument
@recipe_option
@office_option
@json_option
@click.pass_obj
def command(surroundings: Surroundings, client: Path, recipe: str, office: Path | None) -> Outcome:
    """Show which pages of the folder CLIENT would go into the packet, and why; build nothing.

    Exit status 1 means that something in the plan would stop a build.
    """
    inventory, plan = surroundings.pipeline().plan(client, recipe, surroundings.progress, office)
    stops = count_of(len(plan.stops), "thing")
    return Outcome(
        status=ExitStatus.HELD if plan.stops else ExitStatus.CLEAN,
        document=lambda: plan_form(inventory, plan),
        show=lambda console: show_plan(console, inventory, plan),
        note=f"Held: {stops} in the plan would stop a build." if plan.stops else "",
    )
