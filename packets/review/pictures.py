"""Pages as pictures, drawn by PDFium from bytes in memory; a few are kept, none is written."""

import ctypes
import io
import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from typing import Any

import pypdfium2
import pypdfium2.raw as pdfium_c

from packets.base.errors import Damaged, Locked
from packets.base.secret import Secret

SCREEN_DPI = 132
"""A Letter page is 1,122 pixels wide: sharp on a tablet, small enough to come at once."""
LONGEST_SIDE = 2400
"""Pixels; a page so large that its picture would pass this is drawn smaller."""
MOST_KEPT = 32 * 1024 * 1024
"""Bytes of finished pictures that are kept: some two hundred pages of text."""
SWIFT = 1
"""Level of the PNG's deflate (RFC 1950): a page is shown once, on this machine."""

PDFIUM = threading.RLock()
"""PDFium serves one thread at a time, whatever the number of documents."""

Drawn = Callable[[], bytes]


@dataclass(frozen=True)
class PageSize:
    """A page as it is shown, in points."""

    width: float
    height: float


class Pictures:
    """The pages of one document. Safe to ask from several threads.

    Raises Locked where the passphrase does not open it, Damaged where nothing can.
    """

    def __init__(self, pdf: bytes, passphrase: Secret | None) -> None:
        self._document = _opened(pdf, passphrase)
        self._closed = False
        with PDFIUM:
            self.sizes = tuple(_size(self._document, at) for at in range(len(self._document)))

    def png(self, number: int) -> bytes:
        """The picture of page `number`, from 1. Raises IndexError where there is none."""
        if not 1 <= number <= len(self.sizes):
            raise IndexError
        size = self.sizes[number - 1]
        longest = max(size.width, size.height, 1.0)
        with PDFIUM:
            page = self._page(number)
            try:
                bitmap = page.render(scale=min(SCREEN_DPI / 72, LONGEST_SIDE / longest))
                picture = bitmap.to_pil().convert("RGB")
            finally:
                page.close()
        kept = io.BytesIO()
        picture.save(kept, "PNG", compress_level=SWIFT)
        return kept.getvalue()

    def words(self, number: int) -> str:
        """The words of page `number` in the order of the file, for those who listen."""
        with PDFIUM:
            page = self._page(number)
            text = page.get_textpage()
            try:
                return str(text.get_text_bounded()).replace("\r\n", "\n").strip()
            finally:
                text.close()
                page.close()

    def close(self) -> None:
        """Let go of the document, after the picture that is being drawn."""
        with PDFIUM:
            self._closed = True
            self._document.close()

    def _page(self, number: int) -> Any:
        if self._closed or not 1 <= number <= len(self.sizes):
            raise IndexError
        try:
            return self._document[number - 1]
        except pypdfium2.PdfiumError:
            raise IndexError from None


@dataclass
class PictureShelf:
    """Finished pictures, the least used dropped first. Safe to ask from several threads."""

    most: int = MOST_KEPT
    _kept: OrderedDict[Hashable, bytes] = field(default_factory=OrderedDict, repr=False)
    _lock: threading.Lock = field(default_factory=threading.Lock, repr=False)

    def get(self, key: Hashable, draw: Drawn) -> bytes:
        """The picture under `key`, drawn where it is not kept."""
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
                return self._kept[key]
        drawn = draw()
        with self._lock:
            self._kept[key] = drawn
            while len(self._kept) > 1 and self.bytes > self.most:
                self._kept.popitem(last=False)
        return drawn

    @property
    def bytes(self) -> int:
        """How much is kept."""
        return sum(map(len, self._kept.values()))


def _opened(pdf: bytes, passphrase: Secret | None) -> Any:
    word = passphrase.reveal() if passphrase is not None else None
    try:
        with PDFIUM:
            return pypdfium2.PdfDocument(pdf, password=word)
    except pypdfium2.PdfiumError as error:
        if error.err_code == pdfium_c.FPDF_ERR_PASSWORD:
            raise Locked("the passphrase in keys/ does not open this packet") from None
        raise Damaged("PDFium cannot open this packet") from None


def _size(document: Any, at: int) -> PageSize:
    """Of page `at`, from 0, after its /Rotate; without loading the page."""
    size = pdfium_c.FS_SIZEF()
    if not pdfium_c.FPDF_GetPageSizeByIndexF(document.raw, at, ctypes.byref(size)):
        return PageSize(612.0, 792.0)
    return PageSize(float(size.width), float(size.height))
