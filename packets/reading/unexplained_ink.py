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

from packets.reading.unexplained_rows import Box, Part, around, clusters, rows_of, runs_of_bars

_GLYPH_SIDE = 72.0
"""Greatest side in points of one drawn letter: an inch."""
_LEAST_SIDE = 2.0
"""Type smaller than this cannot be read."""
_MANY_ITEMS = 24
"""One path of so many lines and curves may hold a whole number."""
_PIECE = 30.0
"""Greatest length of a stroke that may be a part of a letter."""
_BAR_WIDTH, _BAR_LENGTH = 6.0, 120.0
_LONG_RUN, _SHORT_RUN = 12, 4
"""Bars side by side: so many in one row, or so few in many rows."""
_CODE_SIDE = 8.0
_TOUCH = 1.0
"""Strokes of one letter are nearer than this."""
_TWO_PIECES, _HEAVIEST = 0.68, 3.0
_ROW_WEIGHT = 4.0
"""So many letters must follow one another; a letter of strokes counts by its strokes."""
_MOST_PARTS = 30_000


@dataclass(frozen=True, slots=True, repr=False)
class DrawnShape:
    """One path as the page draws it; coordinates on the unrotated page, origin upper left."""

    box: Box
    items: Sequence[tuple[Any, ...]]
    """Lines, curves and rectangles as PyMuPDF names them: l, c, re, qu."""
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
    letters: int
    """How many stand apart like letters, side by side; 0 in one large path."""


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
    letters: list[Part] = []
    pieces: list[Part] = []
    large: list[Box] = []
    bars: list[Part] = []
    for path in drawn:
        items = path.get("items")
        if items:
            _sort(path, items, letters, pieces, large, bars)
    if len(pieces) + len(bars) + len(letters) > _MOST_PARTS:
        return UnexplainedInk(too_much=True)
    rows = _rows(letters, pieces)
    rows.extend(InkRow(box, 0) for box in large)
    codes = tuple(_codes(bars))
    if not rows and not codes:
        return UnexplainedInk()
    return UnexplainedInk(tuple(_shapes(drawn)), tuple(rows), codes)


def _sort(
    path: dict[str, Any],
    items: Sequence[tuple[Any, ...]],
    letters: list[Part],
    pieces: list[Part],
    large: list[Box],
    bars: list[Part],
) -> None:
    """Put one path among the letters, the pieces of letters, the large drawings and the bars."""
    kind, box = path["type"], _box(path)
    if len(items) == 1 and items[0][0] != "c":
        if kind != "clip":
            _sort_one(items[0], kind, path.get("width") or 0.0, pieces, bars)
        return
    if all(item[0] in ("re", "qu") for item in items):
        for item in items:
            _sort_one(item, kind, path.get("width") or 0.0, pieces, bars)
        return
    width, height = box[2] - box[0], box[3] - box[1]
    if max(width, height) < _LEAST_SIDE or _is_box(items, box):
        return
    if max(width, height) <= _GLYPH_SIDE and len(items) < 4 * _MANY_ITEMS:
        letters.append(Part(box, 1.0))
    elif len(items) >= _MANY_ITEMS:
        large.append(box)
    if kind == "s" and len(items) <= 2:
        letters.pop()
        pieces.append(Part(box, 0.7))


def _sort_one(
    item: tuple[Any, ...], kind: str, stroke: float, pieces: list[Part], bars: list[Part]
) -> None:
    """A single line or rectangle: a piece of a letter, a bar, or nothing."""
    if item[0] == "l":
        (x0, y0), (x1, y1) = item[1], item[2]
        half = stroke / 2
        box = min(x0, x1) - half, min(y0, y1) - half, max(x0, x1) + half, max(y0, y1) + half
    elif item[0] == "re":
        box = item[1]
    else:
        points = [point for point in item[1]]
        box = around((*point, *point) for point in points)
    if kind == "s" and item[0] != "l":
        return  # the border of a cell or a check box
    width, height = box[2] - box[0], box[3] - box[1]
    if max(width, height) <= _PIECE:
        pieces.append(Part(box, 0.34))
    if min(width, height) <= _BAR_WIDTH and max(width, height) <= _BAR_LENGTH:
        bars.append(Part(box, 1.0))


def _is_box(items: Sequence[tuple[Any, ...]], box: Box) -> bool:
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
                found.append(InkRow(around(part.box for part in row), len(row)))
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
    return 2 < len(group) and all(
        any(
            abs(part.box[k] - box[k]) < near and abs(part.box[(k + 2) % 4] - box[k]) < near
            for k in range(4)
        )
        for part in group
    )


def _codes(bars: Sequence[Part]) -> Iterator[Box]:
    if len(bars) < _LONG_RUN:
        return
    runs = [
        Part(around(bar.box for bar in run), float(len(run)))
        for across in (False, True)
        for run in runs_of_bars(bars, across=across, width=_BAR_WIDTH)
        if len(run) >= _SHORT_RUN
    ]
    for group in clusters(runs, _BAR_WIDTH):
        box = around(run.box for run in group)
        longest = max(run.weight for run in group)
        total = sum(run.weight for run in group)
        stacked = len(group) >= _SHORT_RUN and total >= 2 * _LONG_RUN
        if (longest >= _LONG_RUN or stacked) and min(
            box[2] - box[0], box[3] - box[1]
        ) >= _CODE_SIDE:
            yield box


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
