"""Why a page goes in or stays out, and what stops a build, in words for a preparer."""

from collections.abc import Iterable, Sequence
from itertools import groupby

from packets.intake.records import Inventory, InventoryPage
from packets.recipe.text_file import shown_path

UNKNOWN = "no category is known for it"
TO_BE_FILED = (
    "it is itself to be filed or paid with, so its number may not be cut to the last four "
    "digits (26 CFR 301.6109-4(b)(2)(iii)); hand it over another way"
)
EMPTY = (
    "No page of this client folder goes into the packet. Look at the left-out pages and their "
    "reasons, or choose another recipe."
)
NO_CONSENT = (
    "This packet goes to a third party, and the client folder holds no page of the category "
    "consent-disclosure. A signed consent must come first (26 CFR 301.7216-3). Put it into "
    "documents/consent-disclosure/, or name it in engagement.toml."
)


def taken(pattern: str, page: InventoryPage) -> str:
    """Why a page goes in."""
    words = f": {page.evidence.words}" if page.evidence.words else ""
    how = "" if pattern == page.category else f", taken by {pattern}"
    return shown_path(f"{page.category}{how}{words}")


def taken_out(heading: str, category: str) -> str:
    """Why a page stays out that a part would take but for its `leave`."""
    return shown_path(f"the part {heading!r} leaves out {category}")


def not_taken(category: str) -> str:
    """Why a page stays out that no part takes."""
    return shown_path(f"no part of this recipe takes {category}")


def left_out_by_person(why: str) -> str:
    """Why a page stays out that a [[leave_out]] of engagement.toml names."""
    return shown_path(f"left out in engagement.toml: {why}")


def missing(heading: str, pattern: str, elsewhere: bool) -> str:
    """A required category without a page in its part."""
    found = "its pages are in an earlier part or left out" if elsewhere else "the folder holds none"
    return f"The part {heading!r} needs a page of {pattern}, and {found}."


def unknown_pages(pages: Iterable[InventoryPage], inventory: Inventory) -> tuple[str, ...]:
    """One stop for each file with pages of unknown category."""
    return tuple(
        f"{place}: no category is known, so no part can take or leave them. Say what they are "
        "in a [[document]] table of engagement.toml, or move the file into a folder named "
        'after its category, or set unknown_pages = "leave-out" in the recipe.'
        for place in _places(pages, inventory)
    )


def unsure_pages(pages: Iterable[InventoryPage], inventory: Inventory) -> tuple[str, ...]:
    """One stop for each file with pages that a third party would get on a guess."""
    return tuple(
        f"{place}: the category is not sure, and a third party may get only what the consent "
        "names. Look at them and confirm the category in a [[document]] table of "
        "engagement.toml."
        for place in _places(pages, inventory)
    )


def page_ranges(numbers: Sequence[int]) -> str:
    """`page 3` or `pages 1-3, 5`; numbers ascending."""
    runs: list[str] = []
    for _, run in groupby(enumerate(numbers), key=lambda pair: pair[1] - pair[0]):
        members = [number for _, number in run]
        runs.append(f"{members[0]}-{members[-1]}" if len(members) > 1 else str(members[0]))
    return ("page " if len(numbers) == 1 else "pages ") + ", ".join(runs)


def _places(pages: Iterable[InventoryPage], inventory: Inventory) -> list[str]:
    by_document: dict[int, list[int]] = {}
    for page in pages:
        by_document.setdefault(page.document, []).append(page.number)
    return [
        f"{shown_path(inventory.documents[document].file)}, {page_ranges(sorted(numbers))}"
        for document, numbers in sorted(by_document.items())
    ]
