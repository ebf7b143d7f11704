"""The inventory: every page of every document, what it is, and how that is known."""

from collections.abc import Iterator

import pymupdf

from packets.base.errors import Damaged
from packets.base.limits import DEFAULT_LIMITS, Limits
from packets.base.progress import Progress, Step, silent
from packets.intake.blank_pages import is_blank
from packets.intake.classify import PageGuess, classify_page
from packets.intake.client_folder import ClientFolder
from packets.intake.continued import ReadPage, with_continued
from packets.intake.document_help import Told, check_subfolders, told_by_engagement
from packets.intake.page_order import order_notes
from packets.intake.page_view import view_of
from packets.intake.records import (
    Evidence,
    EvidenceKind,
    Inventory,
    InventoryPage,
    SourceDocument,
)
from packets.intake.take_in import take_in
from packets.intake.titles import KnownTitle, known_titles
from packets.reading.ocr import OcrReader
from packets.reading.page_text import read_page

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
    `take_in` raises.
    """
    check_subfolders(folder)
    documents = tuple(_documents(folder, progress, limits))
    told = told_by_engagement(folder, documents)
    pages: list[InventoryPage] = []
    for place, document in enumerate(documents):
        subfolder = folder.files[place].subfolder
        progress(Step(STATION, f"reading {document.file}", place, len(documents)))
        pages.extend(_pages(place, document, subfolder, told, ocr))
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
) -> Iterator[SourceDocument]:
    for done, found in enumerate(folder.files):
        progress(Step(STATION, f"taking in {found.name}", done, len(folder.files)))
        yield take_in(found.path, limits, name=found.name, passwords=folder.passwords)


def _pages(
    place: int, document: SourceDocument, subfolder: str, told: Told, ocr: OcrReader
) -> Iterator[InventoryPage]:
    read = _read_pages(document, ocr)
    for number, (guess, joined) in enumerate(with_continued(read), start=1):
        given = told.get((document.file, number), "")
        category = given or subfolder or guess.category
        if given:
            evidence = Evidence(EvidenceKind.ENGAGEMENT, "named in engagement.toml")
        elif subfolder:
            evidence = Evidence(EvidenceKind.FOLDER, f"lies in documents/{subfolder}")
        elif guess.category is None:
            evidence = Evidence(EvidenceKind.NONE, guess.words, sure=False)
        else:
            kind = EvidenceKind.CONTINUED if joined else EvidenceKind.TITLE
            evidence = Evidence(kind, guess.words, guess.sure)
        yield _page(place, number, category, evidence, guess, read[number - 1].read_by)


def _page(
    place: int,
    number: int,
    category: str | None,
    evidence: Evidence,
    guess: PageGuess,
    read_by: str,
) -> InventoryPage:
    """The record; where somebody named the category, the form's own facts come from it."""
    own = guess.category == category
    known = known_titles().of(category) if category else None
    plain = known or KnownTitle(category="unknown", title="")
    return InventoryPage(
        document=place,
        number=number,
        category=category,
        evidence=evidence,
        title=guess.title if own else plain.title,
        tax_year=guess.tax_year,
        jurisdiction=guess.jurisdiction if own else "",
        sequence=guess.sequence if own else plain.sequence,
        form_page=guess.form_page,
        read_by=read_by,
        to_be_filed=plain.to_be_filed or guess.to_be_filed,
    )


def _read_pages(document: SourceDocument, ocr: OcrReader) -> tuple[ReadPage, ...]:
    try:
        with pymupdf.open(stream=document.pdf, filetype="pdf") as opened:
            if opened.page_count != document.pages:
                raise Damaged("two readers count different pages in it", where=document.file)
            return tuple(_read_page(opened, index, ocr) for index in range(document.pages))
    except (pymupdf.FileDataError, pymupdf.mupdf.FzErrorBase, RuntimeError, ValueError):
        raise Damaged("a page of the file cannot be read", where=document.file) from None


def _read_page(opened: pymupdf.Document, index: int, ocr: OcrReader) -> ReadPage:
    text = read_page(opened, index, ocr)
    blank = is_blank(opened[index], text)
    guess = classify_page(text)
    if blank:
        guess = PageGuess("blank", "nothing is printed on it", title="Blank page")
    return ReadPage(guess, view_of(text), blank, text.read_by)


def _folder_notes(folder: ClientFolder, documents: tuple[SourceDocument, ...]) -> Iterator[str]:
    if not documents:
        yield "documents/ holds no files"
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
