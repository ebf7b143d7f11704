"""A recipe as it was typed, before it is known to be right.

The checks between keys read it, so that their faults can be named together with
those of single values. What has the wrong type is passed over here: it is
named elsewhere. So is what goes beyond the most tables and entries a recipe may have: the
checks compare all with all.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from packets.recipe.key_faults import KeyPath
from packets.recipe.model import MOST_ENTRIES, MOST_TABLES

TomlTable = Mapping[str, Any]


@dataclass(frozen=True)
class PlacedText:
    """A text of the file with its place."""

    at: KeyPath
    text: str


@dataclass(frozen=True)
class DraftPart:
    """What can be read of one `[[part]]`."""

    at: KeyPath
    heading: PlacedText | None
    take: tuple[PlacedText, ...]
    leave: tuple[PlacedText, ...]
    required: tuple[PlacedText, ...]
    signed_by: tuple[PlacedText, ...]


@dataclass(frozen=True)
class DraftSignRule:
    """What can be read of one `[[sign]]`."""

    at: KeyPath
    role: str
    on: tuple[PlacedText, ...]
    fields: tuple[PlacedText, ...]
    date_format: PlacedText | None


@dataclass(frozen=True)
class DraftLine:
    """What can be read of one `[[line]]`."""

    at: KeyPath
    role: str
    on: tuple[PlacedText, ...]
    labels: tuple[PlacedText, ...]
    """All texts that are looked for on a page, those of dates and of surroundings included."""
    date_format: PlacedText | None
    dated: bool
    """Whether it says how a date is found."""
    date_keys: tuple[KeyPath, ...]
    """Where keys stand that mean something only together with `date_labels`."""


def text_in(table: TomlTable, key: str, at: KeyPath = ()) -> PlacedText | None:
    """The text under a key, if there is a text."""
    value = table.get(key)
    return PlacedText((*at, key), value) if isinstance(value, str) else None


def texts_in(table: TomlTable, key: str, at: KeyPath = ()) -> tuple[PlacedText, ...]:
    """The texts of a list under a key."""
    value = table.get(key)
    if not isinstance(value, list):
        return ()
    return tuple(
        PlacedText((*at, key, position), entry)
        for position, entry in enumerate(value[:MOST_ENTRIES])
        if isinstance(entry, str)
    )


def table_in(table: TomlTable, key: str) -> TomlTable:
    """The table under a key; an empty one where there is none."""
    value = table.get(key)
    return value if isinstance(value, dict) else {}


def _tables_in(table: TomlTable, key: str) -> Iterator[tuple[KeyPath, TomlTable]]:
    value = table.get(key)
    if isinstance(value, list):
        for position, entry in enumerate(value[:MOST_TABLES]):
            if isinstance(entry, dict):
                yield (key, position), entry


def draft_parts(recipe: TomlTable) -> tuple[DraftPart, ...]:
    """All parts that are tables."""
    return tuple(
        DraftPart(
            at=at,
            heading=text_in(part, "heading", at),
            take=texts_in(part, "take", at),
            leave=texts_in(part, "leave", at),
            required=texts_in(part, "required", at),
            signed_by=texts_in(part, "signed_by", at),
        )
        for at, part in _tables_in(recipe, "part")
    )


def draft_sign_rules(recipe: TomlTable) -> tuple[DraftSignRule, ...]:
    """All sign rules that are tables and name a role."""
    return tuple(
        DraftSignRule(
            at=at,
            role=role.text,
            on=texts_in(rule, "on", at),
            fields=texts_in(rule, "fields", at),
            date_format=text_in(rule, "date_format", at),
        )
        for at, rule in _tables_in(recipe, "sign")
        if (role := text_in(rule, "role", at)) is not None
    )


_ALL_LABELS = ("labels", "after", "before", "date_labels")
_DATE_KEYS = ("date_at", "date_room", "date_format")


def draft_lines(recipe: TomlTable) -> tuple[DraftLine, ...]:
    """All printed lines that are tables and name a role."""
    return tuple(
        DraftLine(
            at=at,
            role=role.text,
            on=texts_in(line, "on", at),
            labels=tuple(text for key in _ALL_LABELS for text in texts_in(line, key, at)),
            date_format=text_in(line, "date_format", at),
            dated=bool(line.get("date_labels")),
            date_keys=tuple((*at, key) for key in _DATE_KEYS if key in line),
        )
        for at, line in _tables_in(recipe, "line")
        if (role := text_in(line, "role", at)) is not None
    )


def draft_places(recipe: TomlTable) -> tuple[DraftSignRule | DraftLine, ...]:
    """All places where the recipe lets people sign, in fields or on printed lines."""
    return (*draft_sign_rules(recipe), *draft_lines(recipe))
