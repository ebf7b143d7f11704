"""Read rows of drawn shapes by character recognition, in the direction in which they read best."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from PIL import Image

from packets.masking.drawn_figures import UNTOLD, are_figures, read_figures
from packets.masking.drawn_pictures import MARGIN, holds, shapes_picture, shapes_within
from packets.masking.drawn_records import DrawnSymbol, PageBox
from packets.reading.ocr import OcrReader
from packets.reading.records import OcrWord, PictureText
from packets.reading.unexplained_ink import DrawnShape, InkRow, UnexplainedInk
from packets.reading.unexplained_rows import around

_LETTER_PIXELS = 44.0
"""Height at which a row's letters are drawn to be read."""
_PAGE_SCALE = 250 / 72
_FEW_ROWS = 6
"""More rows than this are read together, in one picture."""
_SURE = 60.0
_SURE_OUTLINE = 80.0
"""Stroked outlines read less surely than this are tried filled, too."""
_DIGITS, _MOST_PASSED_OVER = 4, 4
"""In a row with so many digits, so few other shapes may be digits that were passed over."""
_TALL_MARKS = frozenset("()[]/$%#&")
_WORD_GAP = 0.45
"""In heights of the figures."""
_HALF = 0.5
"""So much of a row of strokes must be told before anything else is tried."""
_FIGURES_SURE = 65.0
"""What reading shape by shape is worth, on the scale of the recognition engine."""
TURNS = 4


@dataclass(frozen=True, slots=True, repr=False)
class ReadInk:
    """Words of drawn ink in one direction, on the page."""

    turns: int
    words: tuple[OcrWord, ...]
    """Their boxes on the unrotated page."""
    symbols: tuple[DrawnSymbol, ...]


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
            read.extend(_read_group(ink, group, turns, ocr))
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
) -> Iterator[ReadInk]:
    box = around(row.box for row in rows)
    scale = _PAGE_SCALE
    if len(rows) == 1 and rows[0].parts:
        heights = sorted(_height(part, across=rows[0].across) for part in rows[0].parts)
        scale = min(12.0, _LETTER_PIXELS / max(heights[-1], 1.0))
    shapes = [s for row in rows for s in shapes_within(ink.shapes, row.box)]
    candidates = (turns, (turns + 2) % TURNS)
    picture = shapes_picture(shapes, box, scale)
    if len(rows) == 1:
        told = [(_told(picture, rows[0], box, way), way) for way in candidates]
        figures = next((it for it in told if are_figures(it[0])), None)
        if rows[0].strokes:
            if figures is not None:
                yield _figures(rows[0], shapes, *figures)
                return
            if not any(are_figures(it[0], _HALF) for it in told):
                return  # cells, frames and the like
    best, text = _best_of(picture, candidates, ocr)
    if text.confidence < _SURE_OUTLINE and not all(shape.fills for shape in shapes):
        filled = shapes_picture([replace(s, fills=True) for s in shapes], box, scale)
        other, solid = _best_of(filled, candidates, ocr)
        if _score(solid) > _score(text):
            picture, best, text = filled, other, solid
    if text.confidence < _SURE and len(rows) == 1 and figures is not None:
        yield _figures(rows[0], shapes, *figures)
        return
    read = _recognised(rows, shapes, box, picture.size, best, text)
    yield _completed(read, _passed_over(rows, read, picture, box), shapes)


def _passed_over(
    rows: Sequence[InkRow], read: ReadInk, picture: Image.Image, box: PageBox
) -> dict[PageBox, str]:
    """Shapes among the digits of a row that the engine did not know, each as some digit.

    One that its shape does not tell either counts as a digit all the same: a
    number must not escape because one of its nine was not read.
    """
    chars = [symbol[0] for word in read.words for symbol in word.symbols]
    known = {symbol.box: char for symbol, char in zip(read.symbols, chars, strict=True)}
    found = {}
    for row in rows:
        unknown = [part for part in row.parts if not _is_sign(known.get(part, ""))]
        digits = sum(1 for part in row.parts if known.get(part, "").isdigit())
        if digits >= _DIGITS and len(unknown) <= _MOST_PASSED_OVER:
            for part in unknown:
                told = _told(picture, replace(row, parts=(part,)), box, read.turns)
                found[part] = told.replace(UNTOLD, "0")
    return found


def _completed(read: ReadInk, told: dict[PageBox, str], shapes: Sequence[DrawnShape]) -> ReadInk:
    """What was read, with other characters for some shapes, and those that were left out."""
    if not told:
        return read
    marks = iter(read.symbols)
    words: list[OcrWord] = []
    symbols: list[DrawnSymbol] = []
    left = dict(told)
    for word in read.words:
        placed = []
        for symbol, mark in zip(word.symbols, marks, strict=False):
            new = left.pop(mark.box, None)
            placed.append((new, *mark.box) if new else symbol)
            symbols.append(replace(mark, sure=0.0) if new else mark)
        words.append(OcrWord(tuple(placed), word.confidence))
    for part, char in left.items():
        words.append(OcrWord(((char, *part),), 0.0))
        symbols.append(DrawnSymbol(part, _colour(part, shapes), 0.0))
    return ReadInk(read.turns, tuple(words), tuple(symbols))


def _is_sign(char: str) -> bool:
    """Whether a shape was read as a letter, a digit, or a mark as tall as they are."""
    return char.isalnum() or char in _TALL_MARKS


def _recognised(
    rows: Sequence[InkRow],
    shapes: Sequence[DrawnShape],
    box: PageBox,
    size: tuple[int, int],
    best: int,
    text: PictureText,
) -> ReadInk:
    parts = [part for row in rows for part in row.parts]
    words, symbols = [], []
    for word in text.words:
        placed = []
        for char, *pixels in word.symbols:
            where = _on_page(pixels, best, size, box)
            placed.append((char, *where))
            symbols.append(_symbol(where, parts, shapes, word.confidence))
        words.append(OcrWord(tuple(placed), word.confidence))
    return ReadInk(best, tuple(words), tuple(symbols))


def _told(picture: Image.Image, row: InkRow, box: PageBox, turns: int) -> str:
    """The row read shape by shape in one direction."""
    across = picture.width / (box[2] - box[0] + 2 * MARGIN)
    corner = box[0] - MARGIN, box[1] - MARGIN
    upright, boxes = turned(picture, turns), []
    for part in _in_order(row, turns):
        x0, y0, x1, y1 = ((part[k] - corner[k % 2]) * across for k in range(4))
        boxes.append(turned_back((x0, y0, x1, y1), (TURNS - turns) % TURNS, upright.size))
    return read_figures(upright, boxes)


def _in_order(row: InkRow, turns: int) -> list[PageBox]:
    return sorted(row.parts, key=lambda part: framed(part, turns)[0])


def _figures(row: InkRow, shapes: Sequence[DrawnShape], told: str, turns: int) -> ReadInk:
    """A row that was read shape by shape, in words."""
    parts = _in_order(row, turns)
    cells = _evened([framed(part, turns) for part in parts])
    words: list[list[tuple[str, float, float, float, float]]] = [[]]
    for k, (char, cell) in enumerate(zip(told, cells, strict=True)):
        if k and cell[0] - cells[k - 1][2] > _WORD_GAP * (cell[3] - cell[1]):
            words.append([])
        words[-1].append((char, *framed(cell, (TURNS - turns) % TURNS)))
    marks = tuple(DrawnSymbol(part, _colour(part, shapes), _FIGURES_SURE) for part in parts)
    read = tuple(OcrWord(tuple(word), _FIGURES_SURE) for word in words)
    return ReadInk(turns, read, marks)


def _evened(boxes: Sequence[PageBox]) -> list[PageBox]:
    """Narrow figures given the room that a display's cell has left of them."""
    widths = sorted(box[2] - box[0] for box in boxes)
    usual, end, cells = widths[len(widths) // 2], float("-inf"), []
    nexts = [*(box[0] for box in boxes[1:]), float("inf")]
    for (x0, y0, x1, y1), limit in zip(boxes, nexts, strict=True):
        left, right = min(x0, max(end, x1 - usual)), max(x1, min(limit, x0 + usual))
        cells.append((left, y0, right, y1))
        end = x1
    return cells


WAYS = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))
"""How upright text ran before each count of counter-clockwise quarter turns."""


def framed(box: Sequence[float], turns: int) -> PageBox:
    """A box of the unrotated page where text of that direction runs to the right."""
    cosine, sine = WAYS[turns]
    xs = [x * cosine + y * sine for x in (box[0], box[2]) for y in (box[1], box[3])]
    ys = [y * cosine - x * sine for x in (box[0], box[2]) for y in (box[1], box[3])]
    return min(xs), min(ys), max(xs), max(ys)


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


def turned(picture: Image.Image, turns: int) -> Image.Image:
    """The picture after counter-clockwise quarter turns."""
    return picture.rotate(90 * turns, expand=True) if turns else picture


def _on_page(pixels: Sequence[float], turns: int, size: tuple[int, int], box: PageBox) -> PageBox:
    """A box of the turned picture, on the unrotated page."""
    x0, y0, x1, y1 = turned_back(pixels, turns, size)
    across = (box[2] - box[0] + 2 * MARGIN) / size[0]
    down = (box[3] - box[1] + 2 * MARGIN) / size[1]
    left, top = box[0] - MARGIN, box[1] - MARGIN
    return left + x0 * across, top + y0 * down, left + x1 * across, top + y1 * down


def turned_back(box: Sequence[float], turns: int, size: tuple[float, float]) -> PageBox:
    """A box of a picture after its quarter turns, in the picture of `size` before them."""
    x0, y0, x1, y1 = box
    width, height = size
    if turns == 1:  # what was at the right edge is at the top
        return width - y1, x0, width - y0, x1
    if turns == 2:
        return width - x1, height - y1, width - x0, height - y0
    if turns == 3:
        return y0, height - x1, y1, height - x0
    return x0, y0, x1, y1


def _symbol(
    where: PageBox, parts: Sequence[PageBox], shapes: Sequence[DrawnShape], sure: float
) -> DrawnSymbol:
    """One character with the box and the colour of the ink that it was read from."""
    box = _part_under(where, parts) or where
    return DrawnSymbol(box, _colour(box, shapes), sure)


def _colour(box: PageBox, shapes: Sequence[DrawnShape]) -> tuple[float, ...]:
    """The colour of the first shape in a box, or of the first at all: a path may hold a line."""
    for shape in shapes:
        if holds(box, shape.box, 1.0):
            return shape.colour
    return shapes[0].colour if shapes else (0.0,)


def _part_under(where: PageBox, parts: Sequence[PageBox]) -> PageBox | None:
    """The letter-sized shape whose middle the character covers, or that covers its middle."""
    across, down = (where[0] + where[2]) / 2, (where[1] + where[3]) / 2
    width, height = where[2] - where[0], where[3] - where[1]
    best = None
    for part in parts:
        inside = part[0] - 0.5 <= across <= part[2] + 0.5 and part[1] <= down <= part[3]
        alike = part[2] - part[0] <= 2 * width + 1 and part[3] - part[1] <= 2 * height + 1
        if inside and alike:
            best = part
    return best
