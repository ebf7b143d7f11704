"""The pages of one document: read, judged, joined, and overruled by what a person said."""

from collections.abc import Iterator
from typing import NoReturn

import pymupdf
from PIL import Image

from packets.base.alongside import alongside
from packets.base.errors import Damaged
from packets.intake.blank_pages import is_blank
from packets.intake.classify import PageGuess, classify_view
from packets.intake.continued import ReadPage, read_page_of, with_continued
from packets.intake.document_help import Told
from packets.intake.page_view import view_of
from packets.intake.records import Evidence, EvidenceKind, InventoryPage, SourceDocument
from packets.intake.titles import KnownTitle, known_titles
from packets.reading.ocr import OcrReader
from packets.reading.page_text import read_page

_LONG = 24
"""Pages from which on a copy of the process pays."""


def pages_of_document(
    place: int, document: SourceDocument, subfolder: str, told: Told, ocr: OcrReader
) -> Iterator[InventoryPage]:
    """Every page of `document`, which is number `place` of the inventory.

    What `told` says of a page counts first, then the sub-folder's name, then
    the page's own title, then the page before it. Raises `Damaged`.
    """
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
        yield _page(place, number, category, evidence, guess, read[number - 1])


def _page(
    place: int,
    number: int,
    category: str | None,
    evidence: Evidence,
    guess: PageGuess,
    read: ReadPage,
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
        read_by=read.read_by,
        to_be_filed=plain.to_be_filed or guess.to_be_filed,
        letters=read.letters,
        look=read.look,
    )


def _read_pages(document: SourceDocument, ocr: OcrReader) -> tuple[ReadPage, ...]:
    try:
        with pymupdf.open(stream=document.pdf, filetype="pdf") as opened:
            if opened.page_count != document.pages:
                raise Damaged("two readers count different pages in it", where=document.file)
            return _all_read(opened, ocr)
    except (pymupdf.FileDataError, pymupdf.mupdf.FzErrorBase, RuntimeError, ValueError):
        raise Damaged("a page of the file cannot be read", where=document.file) from None


def _all_read(opened: pymupdf.Document, ocr: OcrReader) -> tuple[ReadPage, ...]:
    """Every page; of a long document half of the pages alongside."""
    count = opened.page_count
    if count < _LONG:
        return tuple(_read_page(opened, index, ocr) for index in range(count))
    with alongside(lambda: [_text_page(opened, k) for k in range(1, count, 2)]) as others:
        even = [_read_page(opened, index, ocr) for index in range(0, count, 2)]
        odd = others.result()
    return tuple(
        even[at // 2] if at % 2 == 0 else odd[at // 2] or _read_page(opened, at, ocr)
        for at in range(count)
    )


class _NeedsOcr(Exception):
    """A page without text of its own."""


class _NoOcr(OcrReader):
    """Reads no picture: what it reads in a copy of the process is forgotten with the copy."""

    def read(self, picture: Image.Image, *, turn: bool = True) -> NoReturn:  # noqa: ARG002
        raise _NeedsOcr


def _text_page(opened: pymupdf.Document, index: int) -> ReadPage | None:
    try:
        return _read_page(opened, index, _NoOcr())
    except _NeedsOcr:
        return None


def _read_page(opened: pymupdf.Document, index: int, ocr: OcrReader) -> ReadPage:
    text = read_page(opened, index, ocr)
    blank = is_blank(opened[index], text)
    view = view_of(text)
    guess = classify_view(view)
    if blank:
        guess = PageGuess("blank", "nothing is printed on it", title="Blank page")
    return read_page_of(text, view, guess, blank=blank)
