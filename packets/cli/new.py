"""`packets new`: an empty client folder with commented files."""

from pathlib import Path

import click
from rich.console import Console

from packets.base.errors import ExitStatus
from packets.cli.new_folder import new_client, new_office
from packets.cli.options import json_option
from packets.cli.outcome import Outcome
from packets.cli.sheet import heading, points, say


@click.command("new", short_help="Make an empty client folder with commented files.")
@click.argument("client", type=click.Path(file_okay=False, path_type=Path))
@click.option(
    "--office",
    is_flag=True,
    help="Make office.toml and the office's signature store there instead.",
)
@json_option
def command(client: Path, office: bool) -> Outcome:
    """Make the folder CLIENT with commented files to fill in; touch nothing that is there."""
    made = new_office(client) if office else new_client(client)
    return Outcome(
        status=ExitStatus.CLEAN,
        document=lambda: {"client": str(client), "made": [str(path) for path in made]},
        show=lambda console: _show(console, client, made, _OFFICE_NEXT if office else _NEXT),
    )


_NEXT = (
    "Fill in engagement.toml.",
    "Put the printed return and the client's papers into documents/.",
    "`packets inventory` with this folder shows what each page is taken for.",
)
_OFFICE_NEXT = (
    "Fill in office.toml.",
    "`packets sign record` with any client folder in here and `--store office` records the "
    "signature of the ERO or of a paid preparer.",
    "`packets office-key new` with this folder makes a key that signs every packet, if you like.",
)


def _show(
    console: Console, client: Path, made: tuple[Path, ...], following: tuple[str, ...]
) -> None:
    if made:
        say(console, f"Made in {client}:")
        points(console, [str(path.relative_to(client)) for path in made if path != client])
    else:
        say(console, f"{client} has all its files already; nothing was changed.")
    heading(console, "Next")
    points(console, following)
