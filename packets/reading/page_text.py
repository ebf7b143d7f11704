"""The readable text of a page, in printed lines; by OCR where the page has no text of its own."""

from collections.abc import Iterator, Sequence
from itertools import groupby
from operator import itemgetter
from typing import Any

import pymupdf

from packets.base.geometry import Box
from packets.reading.ocr import OcrReader
from packets.reading.pictures import full_page_picture, grey_pixels, page_picture
from packets.reading.records import PageText, PictureText, TextLine

_Word = tuple[tuple[float, ...], str]
"""A box and the text in it; points, origin upper left."""

_ENOUGH = 20
"""With fewer readable characters than this a page counts as one without text."""
_SURE = 65.0


def read_page(document: pymupdf.Document, index: int, ocr: OcrReader) -> PageText:
    """Printed lines of page `index` (from 0), top to bottom, on the page as shown.

    Form field values and annotations count as text. A page whose text is too
    little to be a page is read by OCR: a scan at its own resolution (so that
    masking, which reads the same picture, need not read it again), any other
    page drawn at 200 dpi.
    """
    page = document[index]
    lines = _text_lines(page)
    readable = any(char.isalnum() for line in lines for char in line.text)
    width, height = page.rect.width, page.rect.height
    if _is_enough(lines):
        return PageText(lines, width, height, "text")
    scan = full_page_picture(page)
    picture = grey_pixels(document, scan) if scan else page_picture(page)
    if picture is None:
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


def _text_lines(page: pymupdf.Page) -> tuple[TextLine, ...]:
    found = page.get_text("words", flags=pymupdf.TEXT_PRESERVE_LIGATURES)
    words = list(_strings(found))
    words.extend(_values_without_a_look(page, words))
    if page.rotation:
        matrix = page.rotation_matrix
        words = [(tuple(pymupdf.Rect(box) * matrix), text) for box, text in words]
    return _grouped(words)


def _strings(words: Sequence[tuple[Any, ...]]) -> Iterator[_Word]:
    """Neighbours drawn on one line at one height as one string: fewer to sort."""
    for (y0, y1, *_), same in groupby(words, key=itemgetter(1, 3, 5, 6)):
        line = list(same)
        x0 = [word[0] for word in line]
        if x0 == sorted(x0):
            yield (x0[0], y0, max(word[2] for word in line), y1), " ".join(w[4] for w in line)
        else:
            yield from ((tuple(word[:4]), word[4]) for word in line)


def _values_without_a_look(page: pymupdf.Page, words: Sequence[_Word]) -> Iterator[_Word]:
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
    words: list[_Word] = []
    for word in text.words:
        x0 = min(symbol[1] for symbol in word.symbols) * across
        y0 = min(symbol[2] for symbol in word.symbols) * down
        x1 = max(symbol[3] for symbol in word.symbols) * across
        y1 = max(symbol[4] for symbol in word.symbols) * down
        words.append(((x0, y0, x1, y1), word.text))
    return _grouped(words, _ALIKE_IN_OCR)


_ALIKE = 3.0
"""Words on one line differ in height by no more than this."""
_ALIKE_IN_OCR = 2.2
"""The same for OCR, which gives each word the height of its own ink: a large title is not
run together with the two lines of small print beside it."""


def _grouped(words: Sequence[_Word], alike: float = _ALIKE) -> tuple[TextLine, ...]:
    """Words whose middles share a height are one line; lines come top to bottom."""
    rows: list[list[_Word]] = []
    for box, text in sorted(words, key=lambda word: ((word[0][1] + word[0][3]) / 2, word[0][0])):
        middle = (box[1] + box[3]) / 2
        last = rows[-1][-1][0] if rows else None
        if last is not None and last[1] <= middle <= last[3] and _alike(last, box, alike):
            rows[-1].append((box, text))
        else:
            rows.append([(box, text)])
    return tuple(_line(row) for row in rows)


def _alike(one: tuple[float, ...], other: tuple[float, ...], most: float) -> bool:
    small, large = sorted((max(one[3] - one[1], 0.1), max(other[3] - other[1], 0.1)))
    return large <= most * small


def _line(row: list[_Word]) -> TextLine:
    row.sort(key=lambda word: word[0][0])
    boxes = [box for box, _ in row]
    box = Box(
        min(b[0] for b in boxes),
        min(b[1] for b in boxes),
        max(b[2] for b in boxes),
        max(b[3] for b in boxes),
    )
    size = max(b[3] - b[1] for b in boxes)
    return TextLine(" ".join(text for _, text in row), box, size)
