"""The readable text of a page, in printed lines; by OCR where the page has no text of its own."""

from collections.abc import Iterator, Sequence

import pymupdf

from packets.reading.drawn_strings import DrawnStrings, drawn_strings
from packets.reading.first_look import look_at
from packets.reading.ocr import OcrReader
from packets.reading.pictures import full_page_picture, grey_pixels, page_picture
from packets.reading.printed_rows import ALIKE_IN_OCR, Word, grouped, pieces_of
from packets.reading.records import PageText, PictureText, TextLine

_ENOUGH = 20
"""With fewer readable characters than this a page counts as one without text."""
_SURE = 65.0


def read_page(document: pymupdf.Document, index: int, ocr: OcrReader) -> PageText:
    """Printed lines of page `index` (from 0), top to bottom, on the page as shown.

    A page whose text is too little to be a page is read by OCR: a scan at its own
    resolution (so that masking, which reads the same picture, need not read it
    again), any other page drawn at 200 dpi.
    """
    page = document[index]
    return printed_text(page) or _by_ocr(document, page, ocr)


def printed_text(page: pymupdf.Page) -> PageText | None:
    """The page's own text, or None where that is too little to be a page.

    Form field values and annotations count as text.
    """
    strings = drawn_strings(page)
    lines = _text_lines(page, strings)
    if not _is_enough(lines):
        return None
    width, height = page.rect.width, page.rect.height
    shared = strings.tell_all and not page.rotation and not page.annot_xrefs()
    look = look_at(strings, height) if shared else None
    return PageText(lines, width, height, "text", look=look)


def _by_ocr(document: pymupdf.Document, page: pymupdf.Page, ocr: OcrReader) -> PageText:
    lines = _text_lines(page, drawn_strings(page))
    width, height = page.rect.width, page.rect.height
    scan = full_page_picture(page)
    picture = grey_pixels(document, scan) if scan else page_picture(page)
    if picture is None:
        readable = any(char.isalnum() for line in lines for char in line.text)
        return PageText(lines, width, height, "text" if readable else "nothing")
    text = ocr.read(picture)
    found = ocr_lines(text, width, height)
    if not found:
        return PageText(lines, width, height, "nothing", sure=False)
    return PageText(found, width, height, "ocr", sure=text.confidence >= _SURE)


def _is_enough(lines: Sequence[TextLine]) -> bool:
    readable = 0
    for line in lines:
        readable += sum(map(str.isalnum, line.text))
        if readable >= _ENOUGH:
            return True
    return False


def _text_lines(page: pymupdf.Page, strings: DrawnStrings) -> tuple[TextLine, ...]:
    words = list(_on_paper(strings, page.rect * page.derotation_matrix))
    words.extend(_values_without_a_look(page, words))
    if page.rotation:
        matrix = page.rotation_matrix
        words = [(tuple(pymupdf.Rect(box) * matrix), text) for box, text in words]
    return grouped(words)


def _on_paper(strings: DrawnStrings, paper: pymupdf.Rect) -> Iterator[Word]:
    """What lies on the page at least in part."""
    left, top, right, bottom = paper.x0, paper.y0, paper.x1, paper.y1
    for word in pieces_of(strings):
        x0, y0, x1, y1 = word[0]
        if x0 < right and x1 > left and y0 < bottom and y1 > top:
            yield word


def _values_without_a_look(page: pymupdf.Page, words: Sequence[Word]) -> Iterator[Word]:
    """Values of text fields that show nothing: a viewer would draw them."""
    for widget in page.widgets():
        value, rect = widget.field_value, widget.rect
        if not isinstance(value, str) or not value.strip():
            continue
        middles = (((b[0] + b[2]) / 2, (b[1] + b[3]) / 2) for b, _ in words)
        if not any(rect.x0 <= x <= rect.x1 and rect.y0 <= y <= rect.y1 for x, y in middles):
            yield (rect.x0, rect.y0, rect.x1, rect.y1), value


def ocr_lines(text: PictureText, width: float, height: float) -> tuple[TextLine, ...]:
    """OCR words as lines on a page of the given size in points."""
    sideways = text.quarter_turns % 2
    page_width, page_height = (height, width) if sideways else (width, height)
    across = page_width / max(text.width, 1)
    down = page_height / max(text.height, 1)
    words: list[Word] = []
    for word in text.words:
        x0 = min(symbol[1] for symbol in word.symbols) * across
        y0 = min(symbol[2] for symbol in word.symbols) * down
        x1 = max(symbol[3] for symbol in word.symbols) * across
        y1 = max(symbol[4] for symbol in word.symbols) * down
        words.append(((x0, y0, x1, y1), word.text))
    return grouped(words, ALIKE_IN_OCR)
