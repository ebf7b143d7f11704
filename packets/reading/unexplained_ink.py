"""Drawn shapes on a page that may be letters, digits or a bar code.

MuPDF tells every path that a page fills, strokes or clips with, inside forms,
tiling patterns and soft masks too, whatever its colour and whatever lies over
it. Rules, boxes and check marks are most of what a form draws; shapes of the
size of type that follow one another in a row are what is looked for.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import pymupdf

from packets.base.errors import OverLimit
from packets.reading.unexplained_codes import WIDE_BAR, code_regions
from packets.reading.unexplained_rows import Box, Part, around, clusters, rows_of

_GLYPH_SIDE = 72.0
"""Greatest side in points of one drawn letter: an inch."""
_LEAST_SIDE = 2.0
"""Type smaller than this cannot be read."""
_MANY_ITEMS = 24
"""One path of so many lines and curves may hold a whole number."""
_PIECE = 30.0
"""Greatest length of a stroke that may be a part of a letter."""
_BAR_LENGTH = 300.0
_TOUCH = 0.45
"""Strokes of one letter are nearer than this."""
_TWO_PIECES, _HEAVIEST = 0.68, 3.0
_ROW_WEIGHT = 4.0
"""So many letters must follow one another; a letter of strokes counts by its strokes."""
_MOST_PARTS = 30_000
_CLIP_ITEMS = 8
"""A clip of one or a few rectangles is a frame."""
_INSIDE = 0.01
"""Outlines that share an area are one letter."""

Item = tuple[Any, ...]
"""One line, curve or rectangle as PyMuPDF names them: l, c, re, qu."""


@dataclass(frozen=True, slots=True, repr=False)
class DrawnShape:
    """One path as the page draws it; coordinates on the unrotated page, origin upper left."""

    box: Box
    items: Sequence[Item]
    fills: bool
    """Filled, or used to clip with; else stroked."""
    even_odd: bool
    width: float
    """Of the stroke, in points."""
    colour: tuple[float, ...]


@dataclass(frozen=True, slots=True, repr=False)
class InkRow:
    """Shapes that may be type."""

    box: Box
    parts: tuple[Box, ...]
    """The shapes that stand apart like letters, in their order; none in one long stroke."""
    across: bool
    """They follow one another downward."""
    strokes: bool = False
    """All are put together from strokes or dots, as the cells of a form are, too."""


@dataclass(frozen=True, slots=True, repr=False)
class UnexplainedInk:
    """What a page draws that no font tells."""

    shapes: tuple[DrawnShape, ...] = ()
    rows: tuple[InkRow, ...] = ()
    codes: tuple[Box, ...] = ()
    """Where filled bars or squares stand as close as in a bar code."""
    too_much: bool = False
    """More shapes than can be looked through."""


def unexplained_ink(page: pymupdf.Page) -> UnexplainedInk:
    """Rows of shapes that may be type, and regions that may be bar codes."""
    drawn = page.get_cdrawings(extended=True)
    try:
        rows, codes = _candidates(drawn)
    except OverLimit:
        return UnexplainedInk(too_much=True)
    if not rows and not codes:
        return UnexplainedInk()
    return UnexplainedInk(tuple(_shapes(drawn)), rows, codes)


def _candidates(
    drawn: Sequence[dict[str, Any]],
) -> tuple[tuple[InkRow, ...], tuple[Box, ...]]:
    """Rows that may be type, and regions that may be codes. Raises `OverLimit`."""
    heap = _Heap([], [], [], [])
    for path in drawn:
        items = path.get("items")
        if items:
            _sort(path, items, heap)
    if len(heap.pieces) + len(heap.bars) + len(heap.letters) > _MOST_PARTS:
        raise OverLimit("more drawn shapes than can be looked through")
    rows = _rows(heap.letters, heap.pieces)
    rows.extend(InkRow(box, (), across=False) for box in heap.large)
    return tuple(rows), tuple(code_regions(heap.bars))


@dataclass(slots=True)
class _Heap:
    """The shapes of a page, sorted."""

    letters: list[Part]
    pieces: list[Part]
    large: list[Box]
    bars: list[Part]


def _sort(path: dict[str, Any], items: Sequence[Item], heap: _Heap) -> None:
    """Put one path among the letters, the pieces of letters, the large drawings and the bars."""
    kind, stroke = path["type"], path.get("width") or 0.0
    if kind == "clip" and len(items) <= _CLIP_ITEMS and all(item[0] != "c" for item in items):
        return
    if len(items) == 1 and items[0][0] != "c":  # rules and boxes: most of what forms draw
        _sort_one(items[0], kind, stroke, heap)
        return
    outlines: list[Part] = []
    for outline in outlines_of(items):
        box = around(_extent(item) for item in outline)
        if kind == "s" and _is_linear(outline):
            for item in outline:
                _sort_one(item, kind, stroke, heap)
        elif len(outline) == 1 and outline[0][0] != "c":
            _sort_one(outline[0], kind, stroke, heap)
        elif _is_box(outline, box):
            _sort_one(("re", box), kind, stroke, heap)
        else:
            _sort_outline(outline, box, outlines, heap)
    for group in clusters(outlines, -_INSIDE):
        box = around(part.box for part in group)
        heap.letters.append(Part(box, group[0].weight, outline=True))


def _sort_outline(outline: Sequence[Item], box: Box, outlines: list[Part], heap: _Heap) -> None:
    side = max(box[2] - box[0], box[3] - box[1])
    if _LEAST_SIDE <= side <= _GLYPH_SIDE and len(outline) < _MANY_ITEMS * 4:
        outlines.append(Part(box, 1.0 if len(outline) > 2 else _TWO_PIECES))
    elif side > _GLYPH_SIDE and len(outline) >= _MANY_ITEMS:
        heap.large.append(box)


def _is_linear(outline: Sequence[Item]) -> bool:
    return len(outline) < _MANY_ITEMS and all(item[0] == "l" for item in outline)


def outlines_of(items: Sequence[Item]) -> Iterator[list[Item]]:
    """The items of one path, parted where the pen is lifted."""
    outline: list[Item] = []
    for item in items:
        lifted = item[0] in ("re", "qu") or (outline and outline[-1][0] in ("re", "qu"))
        if outline and (lifted or item[1] != outline[-1][-1]):
            yield outline
            outline = []
        outline.append(item)
    yield outline


def outline_boxes(shape: DrawnShape) -> Iterator[Box]:
    """The box of each outline or stroke of a shape."""
    return map(box_of, outlines_of(shape.items))


def box_of(outline: Sequence[Item]) -> Box:
    """Around the points of an outline, control points too."""
    return around(_extent(item) for item in outline)


def drawn_shapes(page: pymupdf.Page) -> Iterator[DrawnShape]:
    """Every path that the page fills, strokes or clips with."""
    return _shapes(page.get_cdrawings(extended=True))


def _extent(item: Item) -> Box:
    if item[0] == "re":
        return item[1]  # type: ignore[no-any-return]  # four numbers
    points = item[1] if item[0] == "qu" else item[1:]
    return around((*point, *point) for point in points)


def _sort_one(item: Item, kind: str, stroke: float, heap: _Heap) -> None:
    """A single line or rectangle: a piece of a letter, a bar, or nothing."""
    if kind == "s" and item[0] != "l":
        return  # the border of a cell or a check box
    box = _extent(item)
    if item[0] == "l":
        half = stroke / 2
        box = box[0] - half, box[1] - half, box[2] + half, box[3] + half
    width, height = box[2] - box[0], box[3] - box[1]
    if max(width, height) <= _PIECE:
        heap.pieces.append(Part(box, 0.34))
    if min(width, height) <= WIDE_BAR and max(width, height) <= _BAR_LENGTH:
        heap.bars.append(Part(box, 1.0))


def _is_box(items: Sequence[Item], box: Box) -> bool:
    """Whether lines along the edges of one rectangle are all that a path draws."""
    edge = 0.05 * max(box[2] - box[0], box[3] - box[1]) + 0.1
    for item in items:
        if item[0] != "l":
            return False
        (x0, y0), (x1, y1) = item[1], item[2]
        upright = abs(x0 - x1) < edge and min(abs(x0 - box[0]), abs(x0 - box[2])) < edge
        level = abs(y0 - y1) < edge and min(abs(y0 - box[1]), abs(y0 - box[3])) < edge
        if not (upright or level):
            return False
    return True


def _rows(letters: Sequence[Part], pieces: Sequence[Part]) -> list[InkRow]:
    parts = [*letters, *_built(pieces)]
    found = []
    for across in (False, True):
        for row in rows_of(parts, across=across):
            weight = sum(min(part.weight, _HEAVIEST) for part in row)
            solid = sum(part.weight >= _TWO_PIECES for part in row)
            if weight >= _ROW_WEIGHT and 2 * solid >= len(row):
                boxes = tuple(part.box for part in row)
                strokes = not any(part.outline for part in row)
                found.append(InkRow(around(boxes), boxes, across=across, strokes=strokes))
    return found


def _built(pieces: Sequence[Part]) -> Iterator[Part]:
    """Strokes and dots that touch, where they may be a letter or a whole line of them."""
    for group in clusters(pieces, _TOUCH):
        box, weight = around(part.box for part in group), sum(part.weight for part in group)
        short, long = sorted((box[2] - box[0], box[3] - box[1]))
        letter = _LEAST_SIDE <= long <= _GLYPH_SIDE
        line = _LEAST_SIDE <= short <= _GLYPH_SIDE / 3 and weight >= 2 * _ROW_WEIGHT
        if (letter or line) and not _frames(group, box):
            yield Part(box, weight)


def _frames(group: Sequence[Part], box: Box) -> bool:
    """Whether strokes along the edges of one rectangle are all that a group draws."""
    near = 0.6 + 0.05 * max(box[2] - box[0], box[3] - box[1])
    return len(group) > 2 and all(
        any(
            abs(part.box[k] - box[k]) < near and abs(part.box[(k + 2) % 4] - box[k]) < near
            for k in range(4)
        )
        for part in group
    )


def _shapes(drawn: Iterable[dict[str, Any]]) -> Iterator[DrawnShape]:
    for path in drawn:
        items = path.get("items")
        if not items:
            continue
        kind = path["type"]
        colour = path.get("fill") if "f" in kind else path.get("color")
        yield DrawnShape(
            _box(path),
            items,
            kind != "s",
            bool(path.get("even_odd")),
            float(path.get("width") or 0.0),
            tuple(colour) if colour else (0.0,),
        )


def _box(path: dict[str, Any]) -> Box:
    """Around the path itself; a clip names only what is left inside the clips around it."""
    x0, y0, x1, y1 = path.get("rect") or path["scissor"]
    return x0, y0, x1, y1
