"""Drawn bars and squares: what they say, or that they look like a code and say nothing."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from packets.identifiers.labels import labels_in
from packets.masking.drawn_pictures import MARGIN, holds, shapes_picture, shapes_within
from packets.masking.drawn_records import DrawnCode, PageBox
from packets.reading.barcodes import read_barcodes
from packets.reading.glyphs import PageGlyphs
from packets.reading.unexplained_ink import DrawnShape, UnexplainedInk

_PIXELS_PER_POINT = 6.0
_LARGE = 900.0
"""Pixels; a larger code is drawn at fewer pixels to a point."""
_STACKED = 60
"""An area of so many bars or squares is a stacked or a matrix code, should no reader tell."""
_SHARE = (0.2, 0.8)
"""How much of its area a code fills."""
_WIDTHS = 2


def read_codes(ink: UnexplainedInk) -> tuple[DrawnCode, ...]:
    """The codes of one page that a reader decodes."""
    return tuple(
        code for box in ink.codes for code in _decoded(shapes_within(ink.shapes, box), box)
    )


def undecoded_codes(ink: UnexplainedInk, text: PageGlyphs) -> tuple[DrawnCode, ...]:
    """Areas that look like a stacked or matrix code beside the label of a taxpayer number."""
    if not any(label.kind is not None for label in labels_in(text.drawn)):
        return ()
    return tuple(
        DrawnCode(box, None, (0.0,))
        for box in ink.codes
        if _looks_like_code(shapes_within(ink.shapes, box), box)
    )


def without(ink: UnexplainedInk, boxes: Sequence[PageBox]) -> UnexplainedInk:
    """The ink without the rows and codes that lie in these boxes."""
    if not boxes:
        return ink
    rows = tuple(row for row in ink.rows if not any(holds(box, row.box) for box in boxes))
    codes = tuple(code for code in ink.codes if not any(holds(box, code) for box in boxes))
    return replace(ink, rows=rows, codes=codes)


def without_read(ink: UnexplainedInk, letters: Sequence[PageBox]) -> UnexplainedInk:
    """The ink without the areas in which letters of dots were surely read."""
    return without(ink, [code for code in ink.codes if any(holds(code, box) for box in letters)])


def _decoded(shapes: tuple[DrawnShape, ...], box: PageBox) -> Iterator[DrawnCode]:
    side = max(box[2] - box[0], box[3] - box[1])
    scale = max(2.0, min(_PIXELS_PER_POINT, 3 * _LARGE / side))
    picture = shapes_picture(shapes, box, scale)
    colour = shapes[0].colour if shapes else (0.0,)
    for code in read_barcodes(picture):
        xs = [x / scale + box[0] - MARGIN for x, _ in code.corners]
        ys = [y / scale + box[1] - MARGIN for _, y in code.corners]
        where = (min(xs), min(ys), max(xs), max(ys))
        # A reader may see less than all of a code: what the bars fill counts.
        whole = box if _covers(where, box) else where
        yield DrawnCode(whole, code.content, colour)


def _covers(where: PageBox, box: PageBox) -> bool:
    inner = (where[2] - where[0]) * (where[3] - where[1])
    return 2 * inner >= (box[2] - box[0]) * (box[3] - box[1])


def _looks_like_code(shapes: tuple[DrawnShape, ...], box: PageBox) -> bool:
    """Filled rectangles of several widths, many of them, that fill a good part of an area."""
    count, area, widths = 0, 0.0, set()
    for shape in shapes:
        if not shape.fills:
            continue
        for item in shape.items:
            if item[0] == "re" and holds(box, item[1]):
                x0, y0, x1, y1 = item[1]
                count += 1
                area += (x1 - x0) * (y1 - y0)
                widths.add(round(x1 - x0, 1))
    share = area / max((box[2] - box[0]) * (box[3] - box[1]), 0.01)
    return count >= _STACKED and len(widths) >= _WIDTHS and _SHARE[0] <= share <= _SHARE[1]
