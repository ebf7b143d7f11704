"""What engagement.toml and the names of sub-folders say about documents."""

from collections.abc import Iterator, Sequence
from typing import Any

from packets.base.errors import UsageError
from packets.intake.client_folder import ClientFolder
from packets.intake.engagement import (
    ENGAGEMENT_FILE,
    EngagementFile,
    engagement_faults,
    entries,
)
from packets.intake.folder_walk import shown_name
from packets.intake.page_corrections import correction_faults, file_named
from packets.intake.page_ranges import PageRangeError, parse_page_range
from packets.intake.records import SourceDocument
from packets.intake.titles import known_categories
from packets.recipe.key_faults import KeyFault, nearest_word
from packets.recipe.loader import CrossCheck, load_bytes, load_file

Told = dict[tuple[str, int], str]
"""File and page number (from 1) to the category that engagement.toml gives it."""


def told_by_engagement(folder: ClientFolder, documents: tuple[SourceDocument, ...]) -> Told:
    """The category of every page that a [[document]] names.

    Raises `FileFaults` with the line of every entry that names a file or page
    that is not there, a category nobody knows, or a page named twice with
    different categories; those of corrections (`page_corrections.py`) among them.
    """
    pages = {document.file: document.pages for document in documents}
    load_file(folder.root / ENGAGEMENT_FILE, EngagementFile, _all_faults(documents))
    told: Told = {}
    for entry in folder.engagement.document:
        name = file_named(entry.file)
        for page in parse_page_range(entry.pages) or range(1, pages.get(name, 0) + 1):
            told[name, page] = entry.category
    return told


def demand_corrections_fit(data: bytes, documents: Sequence[SourceDocument]) -> None:
    """Raise `FileFaults` for entries of an engagement.toml that do not fit these documents.

    Entries that name other files are not judged.
    """
    named = {document.file for document in documents}

    def faults(table: Any) -> Iterator[KeyFault]:
        kept = {
            key: [
                entry if file_named(str(entry.get("file"))) in named else {}
                for entry in table.get(key, ())
            ]
            for key in ("document", "leave_out", "blank", "not_a_number")
        }
        yield from _all_faults(documents)({**table, **kept})

    load_bytes(data, ENGAGEMENT_FILE, EngagementFile, faults)


def _all_faults(documents: Sequence[SourceDocument]) -> CrossCheck:
    pages = {document.file: document.pages for document in documents}

    def faults(table: Any) -> Iterator[KeyFault]:
        yield from engagement_faults(table)
        yield from _help_faults(table, pages)
        yield from correction_faults(table, documents)

    return faults


def _help_faults(table: Any, pages: dict[str, int]) -> Iterator[KeyFault]:
    seen: dict[tuple[str, int], str] = {}
    for position, entry in entries(table, "document"):
        at = ("document", position)
        category, file = entry.get("category"), entry.get("file")
        if isinstance(category, str) and category not in known_categories():
            yield KeyFault(
                (*at, "category"),
                "no category has this name",
                "a word of `packets inventory`, such as w-2 or letter",
                nearest_word(category, sorted(known_categories())),
            )
        if not isinstance(file, str):
            continue
        name = file_named(file)
        if name not in pages:
            near = nearest_word(name, pages)
            yield KeyFault(
                (*at, "file"), "there is no such file in the client folder", nearest=near
            )
            continue
        yield from _page_faults(at, entry, name, pages[name], seen)


def _page_faults(
    at: tuple[str, int],
    entry: dict[str, Any],
    name: str,
    count: int,
    seen: dict[tuple[str, int], str],
) -> Iterator[KeyFault]:
    text = entry.get("pages", "")
    try:
        wanted = parse_page_range(text) if isinstance(text, str) else ()
    except PageRangeError:
        return  # named already
    if wanted and wanted[-1] > count:
        yield KeyFault((*at, "pages"), "these pages are beyond the end of the file", f"1-{count}")
        return
    category = str(entry.get("category"))
    for page in wanted or range(1, count + 1):
        if seen.setdefault((name, page), category) != category:
            yield KeyFault(at, f"page {page} of this file has another category above")
            return


def check_subfolders(folder: ClientFolder) -> None:
    """Raise `UsageError` naming every sub-folder of documents/ that is no category."""
    known = sorted(known_categories())
    unknown = sorted(
        {found.subfolder for found in folder.files if found.subfolder} - known_categories()
    )
    if not unknown:
        return
    lines = []
    for name in unknown:
        near = nearest_word(name, known)
        hint = f"; did you mean {near!r}?" if near else ""
        lines.append(f"  documents/{shown_name(name)}: no category has this name{hint}")
    raise UsageError(
        "a sub-folder of documents/ gives its files their category\n" + "\n".join(lines),
        where="documents",
        remedy="Rename each sub-folder to a category, or move its files up into documents/.",
    )
