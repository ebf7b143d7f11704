"""The printed lines that the house knows by itself, as data: `lines.toml`."""

from collections.abc import Iterator, Mapping
from functools import cache
from importlib.resources import files
from typing import Annotated, Any

from pydantic import Field

from packets.recipe.check_lines import check_lines
from packets.recipe.key_faults import KeyFault
from packets.recipe.loader import load_bytes
from packets.recipe.model import LineRule, Table

LINES_FILE = "lines.toml"


class LinesFile(Table):
    """The whole file."""

    line: Annotated[tuple[LineRule, ...], Field(min_length=1)]


@cache
def known_lines() -> tuple[LineRule, ...]:
    """Every line of `lines.toml`, in the order of the file."""
    data = (files(__package__) / LINES_FILE).read_bytes()
    return load_bytes(data, LINES_FILE, LinesFile, _faults).line


@cache
def known_places() -> frozenset[tuple[str, str]]:
    """Role and category of each, for the check of a recipe's `signed_by`."""
    return frozenset((line.role.value, category) for line in known_lines() for category in line.on)


def _faults(table: Mapping[str, Any]) -> Iterator[KeyFault]:
    yield from check_lines(table)
