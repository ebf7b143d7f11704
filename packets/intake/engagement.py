"""`engagement.toml`: who the client is, which year, and help for the inventory."""

import datetime as dt
import re
from collections.abc import Iterator
from typing import Annotated, Any, Literal

from pydantic import Field

from packets.intake.page_ranges import PageRangeError, parse_page_range
from packets.recipe.key_faults import KeyFault
from packets.recipe.model import Table

ENGAGEMENT_FILE = "engagement.toml"
_NUMBER_SHAPED = re.compile(
    r"(?<!\d)(?:\d{3}([-._]?)\d{2}\1\d{4}|\d{2}[-._]\d{7})(?!\d)",
)


class Engagement(Table):
    """The office's own facts about one client and one year."""

    id: Annotated[str, Field(pattern=r"^[A-Za-z0-9][A-Za-z0-9._-]*$", max_length=40)]
    """The office's own number; it names files and is never a taxpayer number."""
    tax_year: Annotated[int, Field(ge=1990, le=2100)]
    household: Annotated[str, Field(min_length=1, max_length=120)]
    email: str = ""
    presented_on: dt.date | None = None
    due_on: dt.date | None = None
    extended_due_on: dt.date | None = None
    received_on: dt.date | None = None


class Person(Table):
    """Somebody on the return."""

    role: Literal["taxpayer", "spouse", "dependent"]
    name: Annotated[str, Field(min_length=1, max_length=120)]


class DocumentHelp(Table):
    """Says what pages of a file are, where the inventory would not know."""

    file: str
    category: Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9-]*$", max_length=60)]
    pages: str = ""
    """Page numbers and ranges such as `1-2,5`; empty means all pages."""


class EngagementFile(Table):
    """The whole file."""

    engagement: Engagement
    person: tuple[Person, ...] = ()
    document: tuple[DocumentHelp, ...] = ()


def entries(table: Any, key: str) -> Iterator[tuple[int, dict[str, Any]]]:
    """The tables of an array of tables as the parser gave them, with their positions."""
    found = table.get(key)
    for position, entry in enumerate(found if isinstance(found, list) else ()):
        if isinstance(entry, dict):
            yield position, entry


def engagement_faults(table: Any) -> Iterator[KeyFault]:
    """What is wrong between or inside keys, beyond what the model says."""
    head = table.get("engagement")
    number = head.get("id") if isinstance(head, dict) else None
    if isinstance(number, str) and _NUMBER_SHAPED.search(number):
        yield KeyFault(
            ("engagement", "id"),
            "this looks like a taxpayer number, and the id names files",
            "the office's own number, not nine digits",
        )
    for position, entry in entries(table, "document"):
        pages = entry.get("pages")
        if isinstance(pages, str):
            try:
                parse_page_range(pages)
            except PageRangeError as error:
                yield KeyFault(
                    ("document", position, "pages"), str(error), "such as 1-2,5; empty for all"
                )
