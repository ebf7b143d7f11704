"""What a person corrected in engagement.toml: pages left out, regions blanked, no numbers.

A region is bound to the page that a person has looked at: where it names the SHA-256 of
its file, another version of the file is a fault, and the build stops before it.
"""

import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from packets.base.geometry import Box
from packets.intake.engagement import BlankRegion, NoNumber, entries
from packets.intake.page_ranges import PageRangeError, parse_page_range
from packets.intake.records import Inventory, SourceDocument
from packets.recipe.key_faults import KeyFault, KeyPath, nearest_word


@dataclass(frozen=True)
class Region:
    """A place on a page of one document."""

    page: int
    """From 1."""
    box: Box
    why: str


def file_named(file: str) -> str:
    """The name of a document as the inventory has it."""
    return unicodedata.normalize("NFC", file).replace("\\", "/").removeprefix("./")


def left_out_by_person(inventory: Inventory) -> dict[tuple[int, int], str]:
    """Each page that engagement.toml leaves out (document index, page number), with the reason."""
    found: dict[tuple[int, int], str] = {}
    places = {document.file: index for index, document in enumerate(inventory.documents)}
    for entry in inventory.engagement.leave_out:
        index = places[file_named(entry.file)]
        count = inventory.documents[index].pages
        for page in parse_page_range(entry.pages) or range(1, count + 1):
            found.setdefault((index, page), entry.why)
    return found


def regions_to_blank(inventory: Inventory, document: int) -> tuple[Region, ...]:
    """Regions of one document that are taken out whole."""
    return _regions(inventory.engagement.blank, inventory.documents[document].file)


def places_without_number(inventory: Inventory, document: int) -> tuple[Region, ...]:
    """Places of one document where a person says that no taxpayer number stands."""
    return _regions(inventory.engagement.not_a_number, inventory.documents[document].file)


def _regions(given: Sequence[BlankRegion | NoNumber], file: str) -> tuple[Region, ...]:
    return tuple(
        Region(entry.page, Box(*entry.box), entry.why)
        for entry in given
        if file_named(entry.file) == file
    )


def correction_faults(table: Any, documents: Sequence[SourceDocument]) -> Iterator[KeyFault]:
    """Entries that name a file or page that is not there, or another version of the file."""
    known = {document.file: document for document in documents}
    for key in ("leave_out", "blank", "not_a_number"):
        for position, entry in entries(table, key):
            file = entry.get("file")
            if not isinstance(file, str):
                continue
            document = known.get(file_named(file))
            if document is None:
                near = nearest_word(file_named(file), known)
                what = "there is no such file in the client folder"
                yield KeyFault((key, position, "file"), what, nearest=near)
                continue
            yield from _in_document((key, position), entry, document)


def _in_document(
    at: KeyPath, entry: dict[str, Any], document: SourceDocument
) -> Iterator[KeyFault]:
    page, pages, sha256 = entry.get("page"), entry.get("pages", ""), entry.get("sha256")
    try:
        last = max(parse_page_range(pages), default=0) if isinstance(pages, str) else 0
    except PageRangeError:
        last = 0  # named already
    allowed = f"1-{document.pages}"
    if last > document.pages:
        yield KeyFault((*at, "pages"), "these pages are beyond the end of the file", allowed)
    if isinstance(page, int) and page > document.pages:
        yield KeyFault((*at, "page"), "this page is beyond the end of the file", allowed)
    if isinstance(sha256, str) and sha256 and sha256 != document.sha256:
        yield KeyFault(
            (*at, "sha256"),
            "this was seen in another version of the file: look at the page again, then take "
            "this entry out or write it anew",
        )
