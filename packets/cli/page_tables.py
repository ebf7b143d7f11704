"""The inventory and the page plan as tables that fit 80 columns."""

from itertools import groupby

from rich.console import Console

from packets.cli.plain_text import count_of, page_ranges, pages_in_words
from packets.cli.sheet import BAD, GOOD, Cell, columns, heading, points, say
from packets.intake.records import EvidenceKind, Inventory, InventoryPage, SourceSignature
from packets.selection.records import PagePlan, PlannedDocument, PlannedPart

EVIDENCE_WORDS = {
    EvidenceKind.ENGAGEMENT: "engagement.toml says so",
    EvidenceKind.FOLDER: "by its folder",
    EvidenceKind.TITLE: "by its title",
    EvidenceKind.CONTINUED: "follows the page before",
    EvidenceKind.NONE: "no evidence",
}


def show_inventory(console: Console, inventory: Inventory) -> None:
    """Each page of each file with its category and the evidence for it."""
    say(
        console,
        f"{count_of(len(inventory.documents), 'document')}, "
        f"{count_of(len(inventory.pages), 'page')}",
    )
    for index, document in enumerate(inventory.documents):
        heading(console, f"{document.file}  ({count_of(document.pages, 'page')})")
        signed = [f"signed electronically: {one.words}" for one in document.signatures]
        points(console, [*document.notes, *signed])
        rows = [_inventory_row(page) for page in inventory.pages if page.document == index]
        if rows:
            names = ("page", "category", "what it is", "evidence")
            columns(console, rows, names=names, narrow=(0,))
    if inventory.unsure:
        heading(console, "Look at these")
        points(console, inventory.unsure)


def _inventory_row(page: InventoryPage) -> tuple[Cell, ...]:
    category: Cell = page.category or ("unknown", BAD)
    return (str(page.number), category, _what_it_is(page), _evidence(page))


def _what_it_is(page: InventoryPage) -> str:
    parts = [
        page.title,
        f"page {page.form_page} of its form" if page.form_page else "",
        str(page.tax_year) if page.tax_year else "",
        page.jurisdiction,
        f"sequence {page.sequence}" if page.sequence else "",
        "to be filed or paid with" if page.to_be_filed else "",
    ]
    return ", ".join(part for part in parts if part)


def _evidence(page: InventoryPage) -> str:
    words = EVIDENCE_WORDS[page.evidence.kind]
    if page.evidence.words:
        words += f": {page.evidence.words}"
    marks = {"ocr": "read by OCR", "nothing": "nothing readable"}.get(page.read_by, "")
    unsure = "" if page.evidence.sure else "UNSURE"
    return "; ".join(part for part in (unsure, words, marks) if part)


def show_plan(console: Console, inventory: Inventory, plan: PagePlan) -> None:
    """What would go in, part by part, what stays out, and what stops the build."""
    say(console, f"{count_of(len(plan.pages), 'page')} would go in. Nothing was built.")
    files = [document.file for document in inventory.documents]
    for part in plan.parts:
        signers = f"  (to be signed by {', '.join(part.signed_by)})" if part.signed_by else ""
        heading(console, part.heading + signers)
        _show_part(console, part, files)
    _show_signed_sources(console, inventory, plan)
    heading(console, "Left out")
    if plan.left_out:
        left = [(files[out.document], page_ranges(out.pages), out.why) for out in plan.left_out]
        columns(console, left, names=("file", "pages", "why"))
    else:
        say(console, "  Nothing: every source page would go in.")
    if plan.stops:
        heading(console, "What stops the build")
        points(console, plan.stops)
    else:
        console.print()
        say(console, ("Ready", GOOD), ": nothing in the plan stops a build.")


def _show_signed_sources(console: Console, inventory: Inventory, plan: PagePlan) -> None:
    """Cryptographic signatures that end when the packet is made."""
    signed = signed_sources(inventory, plan)
    if signed:
        heading(
            console, "Signed electronically: the signature ends in the packet, the file keeps it"
        )
        points(console, [f"{file}, field {one.field}: {one.words}" for file, one in signed])


def signed_sources(inventory: Inventory, plan: PagePlan) -> list[tuple[str, SourceSignature]]:
    """File and signature, for each cryptographic signature on a document that would go in."""
    used = {page.document for page in plan.pages}
    return [
        (document.file, signature)
        for index, document in enumerate(inventory.documents)
        if index in used
        for signature in document.signatures
    ]


def _show_part(console: Console, part: PlannedPart, files: list[str]) -> None:
    """Packet order, with a line wherever the pages begin to come from another file."""
    rows = [row for document in part.documents for row in _plan_rows(document)]
    for source, group in groupby(rows, key=lambda row: row[0]):
        say(console, f"  from {files[source]}")
        columns(console, [row[1:] for row in group], narrow=(0,))


def _plan_rows(document: PlannedDocument) -> list[tuple[int, str, str, str]]:
    """Document index, pages, title, reason; neighbours with one reason share a row."""
    rows = []
    for (source, why, blank), group in groupby(
        document.pages, key=lambda page: (page.document, page.why, page.blank_numbers)
    ):
        reason = f"{why}; numbers blanked whole" if blank else why
        pages = pages_in_words(page.number for page in group)
        rows.append((source, pages, document.title, reason))
    return rows
