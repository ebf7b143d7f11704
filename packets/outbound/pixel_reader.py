"""The fourth reader: pages and pictures as pixels, by character recognition and as bar codes."""

import ctypes
import hashlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import pypdfium2
import pypdfium2.raw as pdfium_c
from PIL import Image

from packets.base.errors import Damaged, OverLimit
from packets.base.limits import Limits
from packets.outbound.crude_scan import Hit
from packets.outbound.ink_shapes import bounds_of
from packets.outbound.outlines_alone import hidden_outlines
from packets.outbound.page_ink import PageInk, ink_of
from packets.outbound.page_regions import page_pixels, regions
from packets.outbound.pdfium_document import Document, Page, pdfium_page
from packets.outbound.picture_hunt import PictureHunter
from packets.outbound.records import Reading, Sighting

READER = "pixels"


@dataclass
class PageSeen:
    """What the pictures and drawn shapes of one page said."""

    number: int
    sightings: list[Sighting] = field(default_factory=list)
    unread: list[str] = field(default_factory=list)
    drawn: set[bytes] = field(default_factory=set)
    """Digests of the pictures that the page draws."""
    has_ink: bool = False
    """Whether there was anything to look at."""


class PixelReading:
    """The pages of one document, each looked at while whoever reads its text has it open.

    `is_masked` says of the digest of a picture's stored bytes whether the
    picture shows only through a mask.
    """

    def __init__(
        self, hunter: PictureHunter, limits: Limits, is_masked: Callable[[bytes], bool]
    ) -> None:
        self.hunter = hunter
        self.limits = limits
        self.is_masked = is_masked
        self.pages: dict[int, PageSeen] = {}
        """By their numbers, in the order in which they were looked at."""
        self._at = PageSeen(0)

    @property
    def drawn(self) -> frozenset[bytes]:
        """Digests of the pictures that pages draw."""
        return frozenset(digest for seen in self.pages.values() for digest in seen.drawn)

    def take(self, pages: Sequence[PageSeen]) -> None:
        """The pages as they were looked at in this process and in another, in their order."""
        self.pages = {seen.number: seen for seen in pages}

    def reading(self, document: Document) -> Reading:
        """What was seen. Pages that nobody had open are looked at whole."""
        for number in range(1, len(document) + 1):
            if number not in self.pages:
                self._page_by_itself(document, number)
        every = self.pages.values()
        sightings = tuple(dict.fromkeys(each for seen in every for each in seen.sightings))
        unread = tuple(dict.fromkeys(each for seen in every for each in seen.unread))
        count = sum(seen.has_ink for seen in every)
        return Reading(READER, self.hunter.version, count, sightings, unread)

    def _page_by_itself(self, document: Document, number: int) -> None:
        try:
            with pdfium_page(document, number) as page:
                self.page(page, number, ink_of(page), whole=True, told=False)
        except Damaged as fault:
            self._begun(number).unread.append(f"page {number}: {fault.what}")
        except pypdfium2.PdfiumError:
            self._begun(number).unread.append(f"page {number}: PDFium cannot draw it")

    def _begun(self, number: int) -> PageSeen:
        self._at = self.pages.setdefault(number, PageSeen(number))
        return self._at

    def page(self, page: Page, number: int, ink: PageInk, *, whole: bool, told: bool) -> PageSeen:
        """Hunt in a page's pictures and drawn shapes; with `whole` in all that it shows.

        `told`: PDFium's text of the page says what it shows, and was read.
        """
        seen = self._begun(number)
        try:
            self._look_at(page, number, ink, whole=whole, told=told)
        except (Damaged, OverLimit) as fault:
            seen.unread.append(f"page {number}: {fault.what}")
        except pypdfium2.PdfiumError:
            seen.unread.append(f"page {number}: PDFium cannot draw it")
        return seen

    def _look_at(self, page: Page, number: int, ink: PageInk, *, whole: bool, told: bool) -> None:
        if ink.cut_short:
            self._at.unread.append(f"page {number}: more drawing than can be looked through")
        boxes = ink.to_read
        for item in ink.pictures:
            digest = _stored_digest(item)
            self._at.drawn.add(digest)
            # Several may be one picture cut in strips; one may show only through a mask.
            if len(ink.pictures) > 1 or self.is_masked(digest):
                boxes = [*boxes, bounds_of(item)]
            self.picture(item, number)
        self._at.has_ink = bool(whole or boxes or ink.pictures or ink.may_show_bars)
        if whole or boxes or ink.may_show_bars:
            shown = page_pixels(page, self.limits)
            self.bars(shown, number, "bar code on the page")
            parts = (shown,) if whole else regions(page, shown, boxes)
            for part in parts:
                self.letters(part, number, "page as it looks", told=whole and told)
            self.hidden(page, number, ink, shown)

    def hidden(self, page: Page, number: int, ink: PageInk, shown: Image.Image) -> None:
        """Outlines that the page covers or draws pale. Nothing of the page is looked at after."""
        boxes = ink.to_read
        for part in hidden_outlines(page, ink, shown, boxes, self.limits) if boxes else ():
            self.letters(part, number, "outlines that the page hides", told=True)

    def picture(self, item: object, number: int) -> None:
        """One picture in its own pixels, whatever lies over it on the page."""
        width, height = _pixel_size(item)
        if width * height > self.limits.picture_pixels or max(width, height) >= (
            self.limits.picture_side
        ):
            raise OverLimit("a picture with too many pixels")
        bitmap = pdfium_c.FPDFImageObj_GetBitmap(item)
        if not bitmap:
            raise Damaged("a picture that PDFium cannot decode")
        picture: Image.Image = pypdfium2.PdfBitmap.from_raw(bitmap).to_pil()
        self.bars(picture, number, "bar code in a picture")
        self.letters(picture, number, "picture on the page", scanned=True)

    def letters(
        self,
        picture: Image.Image,
        number: int,
        place: str,
        *,
        told: bool = False,
        scanned: bool = False,
    ) -> None:
        """`told`: the page's text says what it shows, so that nine digits in a row do not
        count (PDFium's text told them apart), and dotted leaders need not be legible.
        """
        found = self.hunter.letters(picture, scanned=scanned)
        hits = {hit for hit in found.hits if not told or hit.how_sure != "bare run"}
        self.note(frozenset(hits), number, place)
        if found.poor and not told:
            self._at.unread.append(f"page {number}: {place} can only be read poorly")

    def bars(self, picture: Image.Image, number: int, place: str) -> None:
        found = self.hunter.bars(picture)
        self.note(found.hits, number, place)
        if found.undecoded:
            self._at.unread.append(f"page {number}: a bar code that cannot be decoded")

    def note(self, hits: frozenset[Hit], number: int, place: str) -> None:
        for kind, how_sure in sorted(hits):
            self._at.sightings.append(Sighting(kind, number, place, READER, how_sure))


def _stored_digest(item: object) -> bytes:
    """SHA-256 of a picture's bytes as the file stores them, filters and all."""
    size = pdfium_c.FPDFImageObj_GetImageDataRaw(item, None, 0)
    buffer = ctypes.create_string_buffer(size)
    pdfium_c.FPDFImageObj_GetImageDataRaw(item, buffer, size)
    return hashlib.sha256(buffer.raw).digest()


def _pixel_size(item: object) -> tuple[int, int]:
    width, height = ctypes.c_uint(), ctypes.c_uint()
    if not pdfium_c.FPDFImageObj_GetImagePixelSize(item, ctypes.byref(width), ctypes.byref(height)):
        raise Damaged("a picture without a size")
    return int(width.value), int(height.value)
