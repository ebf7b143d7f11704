"""A document as a person may be shown it on a screen: masked, checked, and drawn page by page."""

import threading
from collections.abc import Sequence

import pymupdf

from packets.base.errors import Held
from packets.base.progress import Progress, Step
from packets.handover.holds import verdict_holds
from packets.identifiers.kinds import KnownNumber, MaskPolicy
from packets.intake.records import SourceDocument
from packets.masking.flatten import flatten
from packets.masking.mask_document import MaskOrder, mask_document
from packets.masking.survey import learned, survey_document
from packets.outbound.check import check_pdf
from packets.reading.ocr import OcrReader

SCREEN_DPI = 132
"""A Letter page is 1,122 pixels wide: sharp on a tablet, small enough to come at once."""
LONGEST_SIDE = 2400
"""Pixels; a page so large that its picture would pass this is drawn smaller."""


def masked_for_screen(
    source: SourceDocument, given: Sequence[KnownNumber], progress: Progress
) -> bytes:
    """The document without full numbers, as a client's packet would hold it.

    Raises Held where a place cannot be masked or read, or where the check sees a
    number: then nothing of the document is shown.
    """
    policy = MaskPolicy()
    with OcrReader() as ocr:
        progress(Step("looking for numbers", source.file))
        flat = flatten(source.pdf)
        survey = survey_document(flat.pdf, ocr)
        known = (*given, *learned([survey]))
        progress(Step("masking", source.file))
        pages = tuple(range(len(survey.pages)))
        masked = mask_document(MaskOrder(flat.pdf, survey, pages, known, policy), ocr)
    progress(Step("checking", source.file))
    verdict = check_pdf(masked.pdf, name=source.file, passphrase=None, known=known, policy=policy)
    held = (*masked.unread, *verdict_holds(verdict))
    if held:
        raise Held(
            "this document cannot be shown without its numbers\n"
            + "\n".join(f"  {words}" for words in held),
            where=source.file,
            remedy="Nothing was shown. Have the paper signed by hand, or use a clearer copy.",
        )
    return masked.pdf


class ScreenPages:
    """The pages of a masked document as pictures and as text. Safe to ask from several threads."""

    def __init__(self, masked_pdf: bytes) -> None:
        self._document = pymupdf.open(stream=masked_pdf, filetype="pdf")
        self._lock = threading.Lock()  # MuPDF is not made for several threads
        self.count = self._document.page_count
        pages = [self._document[index] for index in range(self.count)]
        self.texts = tuple(page.get_text("text").strip() for page in pages)
        self.sizes = tuple((page.rect.width, page.rect.height) for page in pages)
        """Width and height of each page as shown, in points."""

    def png(self, number: int) -> bytes:
        """The picture of page `number`, from 1. Raises IndexError where there is none."""
        if not 1 <= number <= self.count:
            raise IndexError
        with self._lock:
            page = self._document[number - 1]
            longest = max(page.rect.width, page.rect.height, 1.0)
            scale = min(SCREEN_DPI / 72, LONGEST_SIDE / longest)
            pixels = page.get_pixmap(matrix=pymupdf.Matrix(scale, scale), alpha=False)
            return bytes(pixels.tobytes("png"))
