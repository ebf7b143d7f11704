"""The inventory: every page of every document, what it is, and how that is known."""

from collections.abc import Iterator

from packets.base.errors import InputRefused
from packets.base.limits import DEFAULT_LIMITS, Limits
from packets.base.progress import Progress, Step, silent
from packets.intake.client_folder import ClientFolder
from packets.intake.document_help import check_subfolders, told_by_engagement
from packets.intake.page_order import order_notes
from packets.intake.page_reading import read_documents
from packets.intake.records import Inventory, InventoryPage, SourceDocument
from packets.intake.source_pages import pages_of_document
from packets.intake.take_in import take_in
from packets.reading.ocr import OcrReader

STATION = "inventory"


def take_inventory(
    folder: ClientFolder,
    ocr: OcrReader,
    progress: Progress = silent,
    limits: Limits = DEFAULT_LIMITS,
) -> Inventory:
    """Take in every document and say of every page what it is.

    Evidence counts in this order: a [[document]] of engagement.toml, the
    sub-folder's name, the page's own title, the page before it. A page that none
    of them explains has no category. Raises `UsageError` for a sub-folder that is
    no category, `FileFaults` for a [[document]] that fits no page, and what
    `take_in` raises; where it refuses several files, one `InputRefused` names all.
    """
    check_subfolders(folder)
    documents = _documents(folder, progress, limits)
    told = told_by_engagement(folder, documents)

    def tell(place: int) -> None:
        progress(Step(STATION, f"reading {documents[place].file}", place, len(documents)))

    pages: list[InventoryPage] = []
    for place, read in enumerate(read_documents(documents, ocr, tell)):
        subfolder = folder.files[place].subfolder
        pages.extend(pages_of_document(place, documents[place], subfolder, told, read))
    progress(Step(STATION, "done", len(documents), len(documents)))
    tax_year = folder.engagement.engagement.tax_year
    unsure = (
        *_folder_notes(folder, documents),
        *_page_notes(documents, pages),
        *order_notes(documents, tuple(pages), tax_year),
    )
    return Inventory(folder.root, folder.engagement, documents, tuple(pages), unsure)


def _documents(
    folder: ClientFolder, progress: Progress, limits: Limits
) -> tuple[SourceDocument, ...]:
    taken: list[SourceDocument] = []
    refused: list[InputRefused] = []
    for done, found in enumerate(folder.files):
        progress(Step(STATION, f"taking in {found.name}", done, len(folder.files)))
        try:
            taken.append(take_in(found.path, limits, name=found.name, passwords=folder.passwords))
        except InputRefused as error:
            refused.append(error)
    if len(refused) == 1:
        raise refused[0]
    if refused:
        raise InputRefused(
            f"{len(refused)} files cannot be taken\n"
            + "\n".join(f"  {error}. {error.remedy}" for error in refused),
            where="documents",
            remedy="Do what is said for each file, or take it out, then try again.",
        )
    return tuple(taken)


def _folder_notes(folder: ClientFolder, documents: tuple[SourceDocument, ...]) -> Iterator[str]:
    if not documents:
        yield "documents/ holds no files"
    yield from folder.notes
    for name in folder.ignored:
        yield f"not looked at: {name}"
    for document in documents:
        for note in document.notes:
            yield f"{document.file}: {note}"


def _page_notes(documents: tuple[SourceDocument, ...], pages: list[InventoryPage]) -> Iterator[str]:
    for page in pages:
        where = f"{documents[page.document].file} page {page.number}"
        if page.category is None:
            yield f"{where}: not known what this is ({page.evidence.words})"
        elif not page.evidence.sure:
            yield f"{where}: perhaps {page.category} ({page.evidence.words})"
        if page.read_by == "nothing" and page.category != "blank":
            yield f"{where}: nothing on it could be read"
