"""Does a label of a taxpayer's number stand in the line of what a person calls no number?

The finder looks for a label before a number or above it. To mask, that is enough, as the
shape alone masks, too. To let a number through, a label behind it counts as well:
`666-41-7788 is your social security number`.
"""

from collections.abc import Iterable, Iterator

import pymupdf

from packets.base.geometry import Box
from packets.handover.exceptions import Excepted
from packets.identifiers.digits import fold
from packets.identifiers.labels import labels_in
from packets.masking.survey import open_for_reading
from packets.reading.glyphs import shown_box


def labels_beside(pdf: bytes, excepted: Iterable[Excepted]) -> Iterator[Excepted]:
    """Those beside which a label stands; `pdf` is their document, before any region was taken."""
    document = open_for_reading(pdf)
    try:
        for one in excepted:
            if _label_in_line(document[one.page - 1], one.box):
                yield one
    finally:
        document.close()


def _label_in_line(page: pymupdf.Page, place: Box) -> bool:
    """Whether a label that names any kind of number reaches into the line of this place."""
    upright = place.width >= place.height
    lines: dict[tuple[int, int], list[str]] = {}
    for box, word, line in _words(page):
        if _in_line(box, place, upright=upright):
            lines.setdefault(line, []).append(word)
    texts = [" ".join(words) for words in lines.values()]
    return any(
        label.kind is not None
        for text in (*texts, " ".join(texts))
        for label in labels_in(fold(text).text)
    )


def _words(page: pymupdf.Page) -> Iterator[tuple[Box, str, tuple[int, int]]]:
    """Each word with its box on the page as shown, and its line."""
    for x0, y0, x1, y1, word, block, line, _ in page.get_text("words"):
        yield shown_box(page, [(x0, y0, x1, y1)]), word, (block, line)


def _in_line(box: Box, place: Box, *, upright: bool) -> bool:
    """Whether the middle of the place's line runs through the box."""
    if upright:
        return box.y0 <= (place.y0 + place.y1) / 2 <= box.y1
    return box.x0 <= (place.x0 + place.x1) / 2 <= box.x1
