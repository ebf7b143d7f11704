"""Read rows of drawn shapes by character recognition, in the direction in which they read best."""

from collections.abc import Sequence
from dataclasses import replace

from PIL import Image

from packets.masking.drawn_figures import are_figures
from packets.masking.drawn_frames import TURNS
from packets.masking.drawn_pictures import holds, shapes_picture, shapes_within
from packets.masking.drawn_records import PageBox
from packets.masking.drawn_symbols import ReadInk, RowPicture, figures, recognised
from packets.masking.quarter_turns import turned
from packets.reading.ocr import OcrReader
from packets.reading.records import PictureText
from packets.reading.unexplained_ink import InkRow, UnexplainedInk
from packets.reading.unexplained_rows import around

_LETTER_PIXELS = 44.0
"""Height at which a row's letters are drawn to be read."""
_PAGE_SCALE = 250 / 72
_FEW_ROWS = 6
"""More rows than this are read together, in one picture."""
_SURE = 60.0
_SURE_OUTLINE = 80.0
"""Stroked outlines read less surely than this are tried filled, too."""
_HALF = 0.5
"""So much of a row of strokes must be told before anything else is tried."""


def read_rows(ink: UnexplainedInk, rotation: int, ocr: OcrReader) -> tuple[ReadInk, ...]:
    """What the rows say; `rotation` is the page's own, clockwise degrees."""
    upright = (-rotation // 90) % TURNS
    read: list[ReadInk] = []
    level = [row for row in ink.rows if not row.across]
    down = [row for row in ink.rows if row.across]
    first, second = (level, down) if upright % 2 == 0 else (down, level)
    for rows in (first, second):
        turns = upright if rows is first else (upright + 1) % TURNS
        waiting = [row for row in rows if not _is_read(row, read)]
        for group in _groups(waiting):
            found = _read_group(ink, group, turns, ocr)
            if found is not None:
                read.append(found)
    return tuple(read)


def _groups(rows: Sequence[InkRow]) -> list[Sequence[InkRow]]:
    return [[row] for row in rows] if len(rows) <= _FEW_ROWS else [rows]


def _is_read(row: InkRow, read: Sequence[ReadInk]) -> bool:
    """Whether most of a row's letters were surely read in the other direction."""
    sure = [s.box for one in read for s in one.symbols if s.sure >= _SURE]
    known = sum(1 for part in row.parts if any(holds(part, box, 2.0) for box in sure))
    return bool(row.parts) and 2 * known >= len(row.parts)


def _read_group(
    ink: UnexplainedInk, rows: Sequence[InkRow], turns: int, ocr: OcrReader
) -> ReadInk | None:
    box = around(row.box for row in rows)
    scale = _PAGE_SCALE
    if len(rows) == 1 and rows[0].parts:
        heights = sorted(_height(part, across=rows[0].across) for part in rows[0].parts)
        scale = min(12.0, _LETTER_PIXELS / max(heights[-1], 1.0))
    shapes = tuple(s for row in rows for s in shapes_within(ink.shapes, row.box))
    drawn = RowPicture(tuple(rows), shapes, box, shapes_picture(shapes, box, scale))
    candidates = (turns, (turns + 2) % TURNS)
    told = [(drawn.told(rows[0], way), way) for way in candidates] if len(rows) == 1 else []
    by_shape = next((it for it in told if are_figures(it[0])), None)
    if len(rows) == 1 and rows[0].strokes:
        if by_shape is not None:
            return figures(drawn, *by_shape)
        if not any(are_figures(it[0], _HALF) for it in told):
            return None  # cells, frames and the like
    best, text = _best_of(drawn.picture, candidates, ocr)
    if text.confidence < _SURE_OUTLINE and not all(shape.fills for shape in shapes):
        filled = shapes_picture([replace(s, fills=True) for s in shapes], box, scale)
        other, solid = _best_of(filled, candidates, ocr)
        if _score(solid) > _score(text):
            drawn, best, text = replace(drawn, picture=filled), other, solid
    if text.confidence < _SURE and by_shape is not None:
        return figures(drawn, *by_shape)
    return recognised(drawn, best, text)


def _height(part: PageBox, *, across: bool) -> float:
    return part[2] - part[0] if across else part[3] - part[1]


def _best_of(
    picture: Image.Image, candidates: Sequence[int], ocr: OcrReader
) -> tuple[int, PictureText]:
    best = (candidates[0], ocr.read(turned(picture, candidates[0]), turn=False))
    if best[1].confidence >= _SURE:
        return best
    other = (candidates[1], ocr.read(turned(picture, candidates[1]), turn=False))
    return other if _score(other[1]) > 1.5 * _score(best[1]) else best


def _score(text: PictureText) -> float:
    return sum(len(w.symbols) * w.confidence for w in text.words if w.confidence >= _SURE)
