"""`packets recipe`: the recipes that ship, one of them in full, and their schema."""

import click
from rich.console import Console

from packets.base.errors import ExitStatus
from packets.cli.options import json_option
from packets.cli.outcome import Outcome
from packets.cli.sheet import columns, heading, points
from packets.recipe.schema import recipe_schema, recipe_schema_text
from packets.recipe.shelf import LoadedRecipe, find_recipe, recipe_names
from packets.signatures.known_lines import known_places


@click.group("recipe", short_help="List and show recipes, or print their schema.")
def command() -> None:
    """List and show recipes, or print their schema."""


@command.command("list", short_help="List the recipes that ship.")
@json_option
def list_recipes() -> Outcome:
    """List the recipes that ship, with their audience and title."""
    shipped = [find_recipe(name, None, known_places()) for name in recipe_names()]
    return Outcome(
        status=ExitStatus.CLEAN,
        document=lambda: {
            "recipes": [
                {
                    "name": loaded.recipe.name,
                    "audience": loaded.recipe.audience.value,
                    "title": loaded.recipe.title,
                }
                for loaded in shipped
            ]
        },
        show=lambda console: _show_list(console, shipped),
    )


@command.command("show", short_help="Print one recipe file.")
@click.argument("name", metavar="NAME|FILE")
@json_option
def show(name: str) -> Outcome:
    """Print the recipe of that name or path, as it is written; a start for one of your own.

    The file is checked first: its faults are named instead, each with its line.
    """
    loaded = find_recipe(name, None, known_places())
    text = loaded.path.read_text(encoding="utf-8")
    return Outcome(
        status=ExitStatus.CLEAN,
        document=lambda: {
            "name": loaded.recipe.name,
            "sha256": loaded.sha256,
            "recipe": loaded.recipe.model_dump(mode="json", by_alias=True),
        },
        show=lambda console: console.out(text, end="", highlight=False),
    )


@command.command("schema", short_help="Print the JSON Schema of a recipe file.")
@json_option
def schema() -> Outcome:
    """Print the JSON Schema (draft 2020-12) of a recipe file, for an editor that knows it."""
    return Outcome(
        status=ExitStatus.CLEAN,
        document=lambda: {"schema": recipe_schema()},
        show=lambda console: console.out(recipe_schema_text(), end="", highlight=False),
    )


def _show_list(console: Console, shipped: list[LoadedRecipe]) -> None:
    rows = [
        (loaded.recipe.name, loaded.recipe.audience.value, loaded.recipe.title)
        for loaded in shipped
    ]
    columns(console, rows, names=("name", "for", "title"), narrow=(0, 1))
    heading(console, "Next")
    points(console, ["`packets recipe show NAME` prints one; copy it to write your own."])
