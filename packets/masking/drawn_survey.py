"""Look once at the ink that no font tells: drawn letters and digits, drawn bar codes.

Most pages hold none, and that is told from their paths and their fonts alone;
what reads such ink is loaded for the first page that holds some.
"""

from collections.abc import Iterable
from typing import TYPE_CHECKING

import pymupdf

from packets.masking.outlined_fonts import GlyphNames
from packets.reading.ocr import OcrReader
from packets.reading.unexplained_ink import UnexplainedInk, unexplained_ink

if TYPE_CHECKING:
    from packets.masking.drawn_records import DrawnSurvey


def may_be_drawn(page: pymupdf.Page, names: GlyphNames) -> bool:
    """Whether a page holds unexplained ink; `names` remembers fonts between pages."""
    return _explains_too_little(unexplained_ink(page), page, names)


def drawn_survey(
    document: pymupdf.Document, pages: Iterable[int], ocr: OcrReader
) -> "tuple[DrawnSurvey, ...]":
    """What the unexplained ink of these pages (from 0) of a flattened document shows, in order."""
    names = GlyphNames()
    found = []
    for number in pages:
        survey = page_survey(document[number], ocr, names)
        if survey is not None:
            found.append(survey)
    return tuple(found)


def page_survey(page: pymupdf.Page, ocr: OcrReader, names: GlyphNames) -> "DrawnSurvey | None":
    """The unexplained ink of one page, or None; `names` remembers fonts between pages."""
    ink = unexplained_ink(page)
    if not _explains_too_little(ink, page, names):
        return None
    from packets.masking.drawn_page import read_drawn_page  # noqa: PLC0415 - most pages have none

    return read_drawn_page(page, ink, ocr, names)


def _explains_too_little(ink: UnexplainedInk, page: pymupdf.Page, names: GlyphNames) -> bool:
    return bool(ink.rows or ink.codes or ink.too_much or names.misnamed_spans(page)[1])
