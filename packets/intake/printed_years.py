"""The tax year and the page number that a page says of itself."""

import re

from packets.intake.page_view import LineView, PageView

_EDITION = re.compile(r"\(?\s*rev\b[^)]*\)?|created\s+\S+|\b\d{1,2}/\d{1,2}/\d{2,4}", re.IGNORECASE)
_YEAR = re.compile(r"(?<![\d/$.,-])((?:19|20)\d{2})(?![\d%]|[.,/-]\d)")
_SPOKEN = re.compile(
    r"(?:tax(?:able)? year(?:\s+ending\s+december 31,)?|calendar year"
    r"|for the year jan\. 1-dec\. 31,)"
    r"\s*((?:19|20)\d{2})|((?:19|20)\d{2})\s+(?:federal|individual|income|state|tax|joint)\b",
    re.IGNORECASE,
)
_SEQUENCE = re.compile(r"\bsequence no\.?\s*(\d{1,3})([A-Za-z]?)(?!\w)", re.IGNORECASE)
_PAGE = re.compile(r"(?<!see )(?<!on )(?<!of )\bpage\s*(\d{1,3})(?!\d)(?:\s+of\s+(\d{1,3}))?", re.I)
_TITLE_WORD = re.compile(r"\b(?:form|schedule)\b", re.IGNORECASE)
_LONGEST_EDGE_LINE = 140
_OUTER_BAND = 0.085
_EARLIEST, _LATEST = 1990, 2100


def tax_year(view: PageView, title_lines: tuple[LineView, ...], running: int | None) -> int | None:
    """The year by the running title, the title's own line, large type, or in words."""
    if running is not None and _possible(running):
        return running
    for line in title_lines:
        year = _one_year(line.words)
        if year is not None:
            return year
    for line in view.lines:
        if line.in_top_zone and line.size >= view.body * 1.6:
            year = _one_year(line.words)
            if year is not None:
                return year
    for line in view.lines:
        match = _SPOKEN.search(line.words)
        if match:
            year = int(match[1] or match[2])
            if _possible(year):
                return year
    return None


def _one_year(words: str) -> int | None:
    """The year in a line of heading, unless two different ones stand there."""
    years = {int(year) for year in _YEAR.findall(_EDITION.sub(" ", words))}
    possible = {year for year in years if _possible(year)}
    return possible.pop() if len(possible) == 1 else None


def _possible(year: int) -> bool:
    return _EARLIEST <= year <= _LATEST


def printed_sequence(view: PageView) -> str:
    """The attachment sequence number at the top of the page, or an empty text.

    Only from printed text: OCR slips would change the order of a packet.
    """
    for line in view.lines if not view.by_ocr else ():
        match = _SEQUENCE.search(line.words) if line.in_top_zone else None
        if match:
            return f"{match[1]}{match[2].upper()}"
    return ""


def page_number(view: PageView, *, of_form: bool) -> int | None:
    """Which page of its form or letter this is, where the edge of the page says so.

    A form says so at its top, or beside its running title; a lone number at the
    foot counts the pages of the whole file and is believed of other papers only.
    """
    for line in view.lines:
        top = line.bottom <= _OUTER_BAND
        if not top and line.top < 1 - _OUTER_BAND:
            continue
        match = _PAGE.search(line.words)
        if match is None or int(match[1]) == 0 or len(line.words) > _LONGEST_EDGE_LINE:
            continue
        if top or not of_form or _TITLE_WORD.search(line.words):
            return int(match[1])
    return None
