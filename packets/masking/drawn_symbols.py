"""From what the engine read, or the shapes themselves tell, to characters in their places."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from PIL import Image

from packets.masking.drawn_figures import UNTOLD, read_figures
from packets.masking.drawn_frames import TURNS, framed, on_page, turned_back
from packets.masking.drawn_pictures import MARGIN, holds
from packets.masking.drawn_records import DrawnSymbol, PageBox
from packets.masking.quarter_turns import turned
from packets.reading.records import OcrWord, PictureText
from packets.reading.unexplained_ink import DrawnShape, InkRow

_DIGITS, _MOST_PASSED_OVER = 4, 4
"""In a row with so many digits, so few other shapes may be digits that were passed over."""
_AS_TALL = 0.8
"""Of a digit's height: commas and points are no digits that were passed over."""
_TALL_MARKS = frozenset("()[]/$%#&")
_WORD_GAP = 0.45
"""In heights of the figures."""
_FIGURES_SURE = 65.0
"""What reading shape by shape is worth, on the scale of the recognition engine."""


@dataclass(frozen=True, slots=True, repr=False)
class ReadInk:
    """Words of drawn ink in one direction, on the page."""

    turns: int
    words: tuple[OcrWord, ...]
    """Their boxes on the unrotated page."""
    symbols: tuple[DrawnSymbol, ...]


@dataclass(frozen=True, slots=True, repr=False)
class RowPicture:
    """Rows of shapes drawn by themselves."""

    rows: tuple[InkRow, ...]
    shapes: tuple[DrawnShape, ...]
    box: PageBox
    """Around the rows, on the unrotated page."""
    picture: Image.Image

    def told(self, row: InkRow, turns: int) -> str:
        """A row read shape by shape in one direction."""
        across = self.picture.width / (self.box[2] - self.box[0] + 2 * MARGIN)
        corner = self.box[0] - MARGIN, self.box[1] - MARGIN
        upright, boxes = turned(self.picture, turns), []
        for part in _in_order(row, turns):
            x0, y0, x1, y1 = ((part[k] - corner[k % 2]) * across for k in range(4))
            boxes.append(turned_back((x0, y0, x1, y1), (TURNS - turns) % TURNS, upright.size))
        return read_figures(upright, boxes)

    def told_part(self, part: PageBox, turns: int) -> str:
        """One shape; `?` where it is no figure."""
        return self.told(replace(self.rows[0], parts=(part,)), turns)


def recognised(of: RowPicture, turns: int, text: PictureText) -> ReadInk:
    """What the engine read, each character with the shape that it stands for."""
    parts = [part for row in of.rows for part in row.parts]
    placed = [
        [
            (symbol[0], on_page(symbol[1:], turns, of.picture.size, of.box))
            for symbol in word.symbols
        ]
        for word in text.words
    ]
    owners = _owners(of, turns, parts, [letter for word in placed for letter in word])
    words, symbols = [], []
    for word, letters in zip(text.words, placed, strict=True):
        kept = []
        for char, where in letters:
            part = _part_under(where, parts)
            # Of two digits at one shape, the engine's box of one is off; letters stay in words.
            if part is None or not char.isdigit() or owners[part] == (char, where):
                kept.append((char, *where))
                found = part or where
                symbols.append(DrawnSymbol(found, _colour(found, of.shapes), word.confidence))
        if kept:
            words.append(OcrWord(tuple(kept), word.confidence))
    read = ReadInk(turns, tuple(words), tuple(symbols))
    return _completed(read, _passed_over(of, read), of.shapes)


Letter = tuple[str, PageBox]


def _owners(
    of: RowPicture, turns: int, parts: Sequence[PageBox], letters: Sequence[Letter]
) -> dict[PageBox, Letter]:
    """The one digit that each shape stands for: what the shape itself says, or the nearest."""
    claims: dict[PageBox, list[Letter]] = {}
    for char, where in letters:
        part = _part_under(where, parts)
        if part is not None and char.isdigit():
            claims.setdefault(part, []).append((char, where))
    owners = {}
    for part, claimants in claims.items():
        told = of.told_part(part, turns) if len(claimants) > 1 else ""

        def rank(letter: Letter, part: PageBox = part, told: str = told) -> tuple[bool, float]:
            return letter[0] != told, _apart(letter[1], part)

        owners[part] = min(claimants, key=rank)
    return owners


def _passed_over(of: RowPicture, read: ReadInk) -> dict[PageBox, str]:
    """Shapes among the digits of a row that the engine did not know, each as some digit.

    One that its shape does not tell either counts as a digit all the same: a
    number must not escape because one of its nine was not read.
    """
    chars = [symbol[0] for word in read.words for symbol in word.symbols]
    known = {symbol.box: char for symbol, char in zip(read.symbols, chars, strict=True)}
    found = {}
    for row in of.rows:
        digits = [part for part in row.parts if known.get(part, "").isdigit()]
        if len(digits) < _DIGITS:
            continue
        heights = sorted(_height(part, row) for part in digits)
        tall = _AS_TALL * heights[len(heights) // 2]
        unknown = [
            part
            for part in row.parts
            if not _is_sign(known.get(part, ""))
            and tall <= _height(part, row) <= tall / _AS_TALL**2
        ]
        if len(unknown) <= _MOST_PASSED_OVER:
            for part in unknown:
                found[part] = of.told_part(part, read.turns).replace(UNTOLD, "0")
    return found


def _height(part: PageBox, row: InkRow) -> float:
    return part[2] - part[0] if row.across else part[3] - part[1]


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


def figures(of: RowPicture, told: str, turns: int) -> ReadInk:
    """The first row, that was read shape by shape, in words."""
    parts = _in_order(of.rows[0], turns)
    cells = _evened([framed(part, turns) for part in parts])
    words: list[list[tuple[str, float, float, float, float]]] = [[]]
    for k, (char, cell) in enumerate(zip(told, cells, strict=True)):
        if k and cell[0] - cells[k - 1][2] > _WORD_GAP * (cell[3] - cell[1]):
            words.append([])
        words[-1].append((char, *framed(cell, (TURNS - turns) % TURNS)))
    marks = tuple(DrawnSymbol(part, _colour(part, of.shapes), _FIGURES_SURE) for part in parts)
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


def _in_order(row: InkRow, turns: int) -> list[PageBox]:
    return sorted(row.parts, key=lambda part: framed(part, turns)[0])


def _apart(one: PageBox, other: PageBox) -> float:
    """How far the middles of two boxes lie apart, across and down."""
    return abs(one[0] + one[2] - other[0] - other[2]) + abs(one[1] + one[3] - other[1] - other[3])


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
