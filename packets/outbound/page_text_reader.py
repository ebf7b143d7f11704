"""The first reader: text as PDFium extracts it, page by page, and what hangs around the pages."""

import contextlib
import ctypes
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import pypdfium2
import pypdfium2.raw as pdfium_c

from packets.base.errors import Damaged
from packets.base.progress import Progress, Step
from packets.base.shared_out import shared_out
from packets.outbound.crude_scan import Hit
from packets.outbound.false_names import GlyphNames
from packets.outbound.glyph_order import digits_in_reading_order, glyph_runs, is_scattered
from packets.outbound.hunting import Hunter
from packets.outbound.objects.strings import is_date
from packets.outbound.page_ink import PageInk, ink_of
from packets.outbound.pdfium_document import PDFIUM_VERSION, Document, Page, pdfium_page
from packets.outbound.pixel_reader import PageSeen
from packets.outbound.records import Reading, Sighting
from packets.outbound.unreadable_text import is_unreadable

READER = "page text"
LONG = 64
"""Pages of a document by which a copy of the process earns what it costs."""
Beside = Callable[[Page, int, PageInk, bool], PageSeen]
"""Gets an open page, its number from 1, what it draws, and whether its text says what it shows."""
_ANNOTATION_KEYS = (b"Contents", b"V", b"DV", b"T", b"TU", b"Subj", b"RC", b"NM")
_MOST_ANNOTATIONS = 20_000
_MOST_OUTLINE_ITEMS = 20_000


@dataclass(frozen=True)
class PageLooks:
    """How the pages of one document are looked at."""

    document: Document
    hunter: Hunter
    thorough: bool = False
    """Whether every page is read once more in the order in which its glyphs stand."""
    odd_fonts: bool = False
    """Whether the file has fonts whose letters may bear no name."""
    names: GlyphNames | None = None
    """Asks the fonts whether they draw what they say."""
    beside: Beside | None = None
    """Looks at each page while it is open."""

    def look(self, number: int) -> "PageLook":
        """One page, from 1."""
        found: list[Sighting] = []
        try:
            with pdfium_page(self.document, number) as page:
                seen = self._look_at(page, number, found)
        except (Damaged, pypdfium2.PdfiumError):
            return PageLook(tuple(found), unread=f"page {number}: PDFium cannot read its text")
        return PageLook(tuple(found), seen)

    def _look_at(self, page: Page, number: int, found: list[Sighting]) -> PageSeen | None:
        """What is found counts, also where the page cannot be read to its end."""
        ink = ink_of(page)
        with _text_page(page) as text_page:
            text = page_text(text_page)
            told = not is_unreadable(text_page, text, odd_fonts=self.odd_fonts) and not (
                self.names is not None and self.names.mislead_on(page, text_page, ink.texts)
            )
            hits = _on_page(page, text_page, text, self.hunter, thorough=self.thorough)
        found += [Sighting(kind, number, "page text", READER, sure) for kind, sure in sorted(hits)]
        found += _in_annotations(page, number, self.hunter)
        return self.beside(page, number, ink, told) if self.beside is not None else None


@dataclass(frozen=True)
class PageLook:
    """What one page said."""

    sightings: tuple[Sighting, ...]
    seen: PageSeen | None = None
    """What whoever looked beside made of it."""
    unread: str = ""


def read_page_text(
    looks: PageLooks, progress: Progress, *, shared: bool = False
) -> tuple[Reading, tuple[PageSeen, ...]]:
    """Hunt in the text of every page, its annotations, the outline and the information.

    With what was seen beside, page by page. With `shared` the pages of a long document
    may be shared out between two processes.
    """
    total = len(looks.document)
    found = _all_pages(looks, total, progress, shared=shared)
    sightings = [each for look in found for each in look.sightings]
    sightings += _around(looks.document, looks.hunter)
    unread = tuple(look.unread for look in found if look.unread)
    seen = tuple(look.seen for look in found if look.seen is not None)
    return Reading(READER, PDFIUM_VERSION, total, tuple(sightings), unread), seen


def _all_pages(
    looks: PageLooks, total: int, progress: Progress, *, shared: bool
) -> Sequence[PageLook]:
    what = "text and pixels" if looks.beside else READER
    numbers = range(1, total + 1)

    def tell(number: int) -> None:
        progress(Step("check", what, number, total))

    found = shared_out(numbers, looks.look, tell, many=LONG if shared else total + 1)
    progress(Step("check", what, total, total))
    return found


@contextlib.contextmanager
def _text_page(page: Page) -> Iterator[Page]:
    text_page = page.get_textpage()
    try:
        yield text_page
    finally:
        text_page.close()


def _on_page(page: Page, text_page: Page, text: str, hunter: Hunter, *, thorough: bool) -> set[Hit]:
    hits = set(hunter.in_page(text))
    if thorough or any(hit.how_sure in ("labelled", "bare run") for hit in hits):
        # A label counts by where it stands, which the order of the text may not tell.
        hits = {hit for hit in hits if hit.how_sure in ("known number", "shape")}
        hits |= set(hunter.on_page(glyph_runs(page, text_page)))
    if hunter.has_known and is_scattered(text):
        hits |= set(hunter.in_digits(digits_in_reading_order(text_page)))
    return hits


def page_text(text_page: Page) -> str:
    """The page's text with its line ends; hyphens at line ends as dashes."""
    text = str(text_page.get_text_range(errors="replace"))
    return text.replace("\x02", "-").replace("\ufffe", "-")


def _in_annotations(page: Page, number: int, hunter: Hunter) -> Iterator[Sighting]:
    count = pdfium_c.FPDFPage_GetAnnotCount(page.raw)
    for index in range(min(count, _MOST_ANNOTATIONS)):
        annotation = pdfium_c.FPDFPage_GetAnnot(page.raw, index)
        if not annotation:
            continue
        try:
            for key in _ANNOTATION_KEYS:
                for hit in hunter.in_page(_annotation_text(annotation, key)):
                    place = "annotation or form field"
                    yield Sighting(hit.kind, number, place, READER, hit.how_sure)
        finally:
            pdfium_c.FPDFPage_CloseAnnot(annotation)


def _annotation_text(annotation: object, key: bytes) -> str:
    size = pdfium_c.FPDFAnnot_GetStringValue(annotation, key, None, 0)
    if size <= 2:
        return ""
    buffer = ctypes.create_string_buffer(size)
    pointer = ctypes.cast(buffer, ctypes.POINTER(pdfium_c.FPDF_WCHAR))
    pdfium_c.FPDFAnnot_GetStringValue(annotation, key, pointer, size)
    return buffer.raw[: size - 2].decode("utf-16-le", "replace")


def _around(document: Document, hunter: Hunter) -> Iterator[Sighting]:
    for text in document.get_metadata_dict(skip_empty=True).values():
        if is_date(text.encode("latin-1", "replace")):
            continue
        for hit in hunter.in_page(text):
            yield Sighting(hit.kind, 0, "document information", READER, hit.how_sure)
    for count, item in enumerate(document.get_toc(max_depth=30)):
        if count >= _MOST_OUTLINE_ITEMS:
            break
        for hit in hunter.in_page(item.get_title()):
            yield Sighting(hit.kind, 0, "outline", READER, hit.how_sure)
    for index in range(document.count_attachments()):
        for hit in hunter.in_page(document.get_attachment(index).get_name()):
            yield Sighting(hit.kind, 0, "name of an attachment", READER, hit.how_sure)
