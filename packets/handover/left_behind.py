"""What the used sources carried that did not come along, a line each."""

from collections.abc import Iterator

from packets.intake.records import Inventory
from packets.masking.left_behind import left_behind
from packets.selection.records import PagePlan


def sources_left_behind(inventory: Inventory, plan: PagePlan) -> Iterator[str]:
    """`file: document information, scripts`, for each source of which pages went in."""
    used = {page.document for page in plan.pages}
    for index, document in enumerate(inventory.documents):
        kinds = left_behind(document.pdf) if index in used else ()
        if kinds:
            yield f"{document.file}: {', '.join(kinds)}"
