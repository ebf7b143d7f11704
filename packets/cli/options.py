"""Options that several commands share, so that they read the same everywhere."""

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

Decorated = TypeVar("Decorated", bound=Callable[..., Any])
Decorator = Callable[[Decorated], Decorated]

EXISTING_FILE = click.Path(exists=True, dir_okay=False, path_type=Path)
EXISTING_FOLDER = click.Path(exists=True, file_okay=False, path_type=Path)

client_argument = click.argument("client", type=EXISTING_FOLDER)

recipe_option = click.option(
    "--recipe",
    required=True,
    metavar="NAME|FILE",
    help="Name of a shipped recipe, or path of a recipe file.",
)

identifiers_option = click.option(
    "--identifiers",
    type=EXISTING_FILE,
    help="An identifiers.toml: numbers that must not appear, whatever their label.",
)

password_file_option = click.option(
    "--password-file",
    type=EXISTING_FILE,
    help="File whose first line is the passphrase; never an argument.",
)

office_option = click.option(
    "--office",
    type=EXISTING_FILE,
    help="The office.toml to use instead of the nearest one from CLIENT upward.",
)

key_password_file_option = click.option(
    "--key-password-file",
    type=EXISTING_FILE,
    help="File whose first line opens the office's key; asked for at the keyboard unless given.",
)

public_key_option = click.option(
    "--public-key",
    "public_keys",
    type=EXISTING_FILE,
    multiple=True,
    help="The office's public key (PEM), to prove signatures by; may be given more than once.",
)

# The door reads this one from the command line itself, because a command line
# that does not parse must be answered in JSON as well.
json_option = click.option(
    "--json",
    is_flag=True,
    expose_value=False,
    help="Print exactly one JSON document on standard output.",
)
