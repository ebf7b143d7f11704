"""`engagement.toml`: who the client is, which year, and help for the inventory."""

import datetime as dt
from typing import Annotated, Literal

from pydantic import Field

from packets.recipe.model import Table


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
