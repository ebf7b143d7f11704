"""Look once at the ink that no font tells: drawn letters and digits, drawn bar codes.

Most pages hold none, and that is told from their paths and their fonts alone;
what reads such ink is loaded for the first page that holds some.
"""

from typing import TYPE_CHECKING

import pymupdf

from packets.masking.outlined_fonts import GlyphNames
from packets.reading.ocr import OcrReader
from packets.reading.unexplained_ink import unexplained_ink

if TYPE_CHECKING:
    from packets.masking.drawn_records import DrawnSurvey


def drawn_survey(document: pymupdf.Document, ocr: OcrReader) -> "tuple[DrawnSurvey, ...]":
    """The pages of a flattened document that hold unexplained ink, in order."""
    names = GlyphNames()
    found = []
    for number in range(document.page_count):
        survey = page_survey(document[number], ocr, names)
        if survey is not None:
            found.append(survey)
    return tuple(found)


def page_survey(page: pymupdf.Page, ocr: OcrReader, names: GlyphNames) -> "DrawnSurvey | None":
    """The unexplained ink of one page, or None; `names` remembers fonts between pages."""
    ink = unexplained_ink(page)
    if not (ink.rows or ink.codes or ink.too_much or names.misnamed_spans(page)[1]):
        return None
    from packets.masking.drawn_page import read_drawn_page  # noqa: PLC0415 - most pages have none

    return read_drawn_page(page, ink, ocr, names)
