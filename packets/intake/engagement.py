"""`engagement.toml`: who the client is, which year, and help for the inventory."""

import datetime as dt
import re
from collections.abc import Iterator
from typing import Annotated, Any, Literal

from pydantic import Field

from packets.intake.page_ranges import PageRangeError, parse_page_range
from packets.recipe.key_faults import KeyFault, KeyPath
from packets.recipe.model import Table

ENGAGEMENT_FILE = "engagement.toml"
_NUMBER_SHAPED = re.compile(
    r"(?<!\d)(?:\d{3}([-._]?)\d{2}\1\d{4}|\d{2}[-._]\d{7})(?!\d)",
)


_NUMBER_IN_WORDS = re.compile(
    r"(?<!\d)(?:\d{3}[\W_]{0,3}\d{2}[\W_]{0,3}\d{4}|\d{2}[\W_]{1,3}\d{7})(?!\d)"
)
"""The same in a sentence, parted by anything."""


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


Reason = Annotated[str, Field(min_length=1, max_length=200)]
_FarPoint = Annotated[float, Field(ge=0, le=20_000, allow_inf_nan=False)]
PageBox = tuple[_FarPoint, _FarPoint, _FarPoint, _FarPoint]
"""Left, top, right, bottom in points from the upper left corner of the page as it is shown."""
Digest = Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]


class LeftOutPages(Table):
    """Pages that stay out of what clients and third parties get, whatever a recipe takes."""

    file: str
    why: Reason
    pages: str = ""
    """As in [[document]]; empty means all pages."""


class BlankRegion(Table):
    """A region that is taken out of a page whole, where no rule finds what is in it."""

    file: str
    page: Annotated[int, Field(ge=1)]
    box: PageBox
    why: Reason
    sha256: Digest | Literal[""] = ""
    """Of the file in which it was seen; then any other version of the file is a fault."""


class NoNumber(Table):
    """A place where something is masked by its shape alone that is no taxpayer number."""

    file: str
    page: Annotated[int, Field(ge=1)]
    box: PageBox
    why: Reason
    sha256: Digest
    """Of the file in which it was seen: no other version is let through."""


class EngagementFile(Table):
    """The whole file."""

    engagement: Engagement
    person: tuple[Person, ...] = ()
    document: tuple[DocumentHelp, ...] = ()
    leave_out: tuple[LeftOutPages, ...] = ()
    blank: tuple[BlankRegion, ...] = ()
    not_a_number: tuple[NoNumber, ...] = ()


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
    for key in ("document", "leave_out"):
        for position, entry in entries(table, key):
            yield from _range_faults((key, position, "pages"), entry.get("pages"))
    for key in ("leave_out", "blank", "not_a_number"):
        for position, entry in entries(table, key):
            why = entry.get("why")
            if isinstance(why, str) and _NUMBER_IN_WORDS.search(why):
                yield KeyFault((key, position, "why"), "a reason may hold no taxpayer number")
            yield from _box_faults((key, position, "box"), entry.get("box"))


def _range_faults(at: KeyPath, pages: Any) -> Iterator[KeyFault]:
    if isinstance(pages, str):
        try:
            parse_page_range(pages)
        except PageRangeError as error:
            yield KeyFault(at, str(error), "such as 1-2,5; empty for all")


def _box_faults(at: KeyPath, box: Any) -> Iterator[KeyFault]:
    sides = 4
    if not isinstance(box, list) or len(box) != sides:
        return  # named by the model
    if any(isinstance(side, bool) or not isinstance(side, (int, float)) for side in box):
        return
    left, top, right, bottom = box
    if left >= right or top >= bottom:
        yield KeyFault(at, "this box has no area", "left, top, right, bottom, in points")
