"""The pages of all documents, each read and judged by itself: text first, then the scans."""

import contextlib
from collections.abc import Callable, Iterator, Sequence

import pymupdf

from packets.base.errors import Damaged
from packets.base.shared_out import shared_out
from packets.intake.blank_pages import is_blank
from packets.intake.classify import PageGuess, classify_view
from packets.intake.continued import ReadPage, read_page_of
from packets.intake.page_view import view_of
from packets.intake.records import SourceDocument
from packets.reading.ocr import OcrReader
from packets.reading.page_text import printed_text, read_page
from packets.reading.records import PageText

_LONG = 24
"""Pages from which on a copy of the process pays."""


def read_documents(
    documents: Sequence[SourceDocument],
    ocr: OcrReader,
    tell: Callable[[int], None] = lambda _: None,
) -> list[tuple[ReadPage, ...]]:
    """Every page of every document; `tell` gets the place of the one that is read.

    Reading a scan takes a hundred times what a page of text takes, so the scans of all
    documents are shared out between two processes where that may be. Raises `Damaged`.
    """
    texts: list[list[ReadPage | None]] = []
    for place, document in enumerate(documents):
        tell(place)
        texts.append(_text_pages(document))
    scans = [
        (place, index)
        for place, pages in enumerate(texts)
        for index, page in enumerate(pages)
        if page is None
    ]

    def scanned(scan: tuple[int, int]) -> ReadPage:
        place, index = scan
        with _opened(documents[place]) as opened:
            return _scanned_page(opened, index, ocr)

    found = ocr.shared_out(scans, scanned, lambda scan: tell(scan[0]))
    read = dict(zip(scans, found, strict=True))
    return [
        tuple(page or read[place, index] for index, page in enumerate(pages))
        for place, pages in enumerate(texts)
    ]


@contextlib.contextmanager
def _opened(document: SourceDocument) -> Iterator[pymupdf.Document]:
    """The document for reading; the engine's errors become ours."""
    try:
        with pymupdf.open(stream=document.pdf, filetype="pdf") as opened:
            if opened.page_count != document.pages:
                raise Damaged("two readers count different pages in it", where=document.file)
            yield opened
    except (pymupdf.FileDataError, pymupdf.mupdf.FzErrorBase, RuntimeError, ValueError):
        raise Damaged("a page of the file cannot be read", where=document.file) from None


def _text_pages(document: SourceDocument) -> list[ReadPage | None]:
    """Pages with text of their own, None for others."""
    with _opened(document) as opened:
        return shared_out(
            range(opened.page_count), lambda index: _text_page(opened, index), many=_LONG
        )


def _text_page(opened: pymupdf.Document, index: int) -> ReadPage | None:
    page = opened[index]
    text = printed_text(page)
    return _judged(page, text) if text is not None else None


def _scanned_page(opened: pymupdf.Document, index: int, ocr: OcrReader) -> ReadPage:
    return _judged(opened[index], read_page(opened, index, ocr))


def _judged(page: pymupdf.Page, text: PageText) -> ReadPage:
    blank = is_blank(page, text)
    view = view_of(text)
    guess = classify_view(view)
    if blank:
        guess = PageGuess("blank", "nothing is printed on it", title="Blank page")
    return read_page_of(text, view, guess, blank=blank)
