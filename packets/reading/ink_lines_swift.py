"""A clean page read only where digits may stand, with the words that may be their labels.

What stands elsewhere is surely words in small letters and is not read. The
reading is trusted only when what was read was read surely; else nothing is
returned, and the page is read whole.
"""

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from packets.reading.ink_lines_amounts import is_amount
from packets.reading.ink_lines_columns import fitted, joined_figures
from packets.reading.ink_lines_engine import Engine
from packets.reading.ink_lines_labels import (
    TRUSTED,
    is_unsure,
    label_regions,
    mean_confidence,
)
from packets.reading.ink_lines_places import Place, is_near
from packets.reading.ink_lines_rows import Box
from packets.reading.ink_lines_sheet import Sheet, cut_out, side_by_side
from packets.reading.ink_lines_spots import (
    Spot,
    digit_spots,
    digits_in_boxes,
    is_empty_row_of_boxes,
    spot_of,
    text_cells,
)
from packets.reading.records import OcrWord

_LARGER, _LEAST_TYPE = 1.2, 20.0
"""How much print is enlarged, and the height in pixels to which it is brought at least."""
_FIGURES, _WORDS = 0.85, 0.75
"""Width against height at which figures and words are read: it saves so much time."""
_ENOUGH = 40
"""Characters that say how well a page reads."""
_RUNNING_TEXT = 14
"""With so many letters before it in its cell a number stands in a sentence, below no caption."""
_PROBES = 4
_PROBE_MARKS = 26
_MOST_SPOTS = 400
_ANY_LETTER = "n"


@dataclass(frozen=True)
class SwiftReading:
    """Words of the levelled page in its own pixels, and places that read poorly."""

    words: tuple[OcrWord, ...]
    poor: tuple[Place, ...]


def read_swiftly(engine: Engine, sheet: Sheet) -> SwiftReading | None:
    """Read the spots of a page; None where the page must be read whole."""
    if sheet.rough or sheet.empty:
        return SwiftReading((), ()) if sheet.empty and not sheet.rough else None
    work = _Work(engine, sheet)
    spots = [
        spot
        for spot in digit_spots(sheet.rows)
        if not is_amount(spot, sheet.points) and not is_empty_row_of_boxes(spot)
    ]
    if len(spots) > _MOST_SPOTS:
        return None
    for spot in spots:
        work.read(spot)
    if work.confidence < TRUSTED - 15:
        return None
    work.read_labels()
    work.probe()
    if work.characters < _ENOUGH or work.confidence < TRUSTED:
        return None
    words = (*work.words(), *work.unread_words())
    return SwiftReading(tuple(work.scaled(words)), tuple(work.poor_places()))


class _Work:
    """One page on the way: what was read, and which marks it covered."""

    def __init__(self, engine: Engine, sheet: Sheet) -> None:
        self._engine = engine
        self._sheet = sheet
        self._covered = np.zeros(len(sheet.rows.marks), dtype=np.bool_)
        self._read: list[tuple[Spot, tuple[OcrWord, ...]]] = []
        self._labels: list[tuple[OcrWord, ...]] = []

    def read(self, spot: Spot) -> None:
        """Read one spot; digits in boxes are put side by side first."""
        words = self._in_boxes(spot) if spot.apart else ()
        self._read.append((spot, words or self._line(spot.box, _FIGURES)))
        self._covered[spot.first : spot.first + len(spot.marks)] = True

    def _line(self, box: Box, squeezed: float) -> tuple[OcrWord, ...]:
        picture, left, top = cut_out(self._sheet, box)
        scale = _scale(box[3] - box[1])
        words = self._engine.line(picture, scale, squeezed=squeezed)
        placed = (_moved(fitted(picture.crop, word), left, top) for word in words)
        return joined_figures(tuple(placed))

    def _in_boxes(self, spot: Spot) -> tuple[OcrWord, ...]:
        """One word whose characters are the marks of the spot; nothing unless each is read."""
        marks = digits_in_boxes(spot)
        if not marks:
            return ()
        picture, _ = side_by_side(self._sheet, marks)
        high = spot.box[3] - spot.box[1]
        words = self._engine.line(picture, _scale(high))
        text = "".join(word.text for word in words)
        if len(text) != len(marks):
            return ()
        sure = min(word.confidence for word in words)
        return tuple(
            OcrWord(((char, mark[0], mark[1], mark[2], mark[3]),), sure)
            for char, mark in zip(text, marks, strict=True)
        )

    @property
    def characters(self) -> int:
        """How many were read."""
        return sum(len(word.symbols) for word in self.words())

    @property
    def confidence(self) -> float:
        """Mean over the characters, 0 to 100; 100 where nothing was read yet."""
        return mean_confidence(tuple(self.words())) if self._read or self._labels else 100.0

    def words(self) -> Iterator[OcrWord]:
        """Everything read."""
        for _, words in self._read:
            yield from words
        for words in self._labels:
            yield from words

    def unread_words(self) -> Iterator[OcrWord]:
        """A stand-in for each word that was not read on a row of which something was.

        So that the finder sees no gap there, and takes words apart for none of one cell.
        """
        rows = self._sheet.rows
        word = np.cumsum(rows.gap) - 1
        read = np.bincount(word, weights=self._covered, minlength=1) > 0
        met = np.bincount(rows.row, weights=self._covered, minlength=1) > 0
        starts = np.flatnonzero(rows.gap)
        ends = np.concatenate((starts[1:], [len(word)])) - 1
        for at in np.flatnonzero(~read & met[rows.row[starts]]).tolist():
            x0, y0, x1, y1 = rows.box(int(starts[at]), int(ends[at]))
            count = int(ends[at] - starts[at]) + 1
            share = (x1 - x0) / count
            yield OcrWord(
                tuple((_ANY_LETTER, x0 + k * share, y0, x0 + (k + 1) * share, y1)
                      for k in range(count)),
                100.0,
            )  # fmt: skip

    def scaled(self, words: Iterable[OcrWord]) -> Iterator[OcrWord]:
        """Words in pixels of the turned picture."""
        unit = 1 / self._sheet.scale
        for word in words:
            symbols = tuple(
                (char, x0 * unit, y0 * unit, x1 * unit, y1 * unit)
                for char, x0, y0, x1, y1 in word.symbols
            )
            yield OcrWord(symbols, word.confidence)

    def read_labels(self) -> None:
        """Read the words left of and above whatever may be a number that needs a label."""
        cells = text_cells(self._sheet.rows)
        starts = [cell.first for cell in cells]
        regions: list[Box] = []
        for spot, words in self._read:
            before = spot.first - starts[bisect_right(starts, spot.first) - 1]
            row, above = label_regions(spot, words)
            regions.extend(row)
            regions.extend(above if before < _RUNNING_TEXT else ())
        for cell in cells if regions else ():
            if is_near(cell.box, regions):
                self._read_cell(cell, regions)

    def _read_cell(self, cell: Spot, regions: Sequence[Box]) -> None:
        """The part of a cell that no spot covered, as far as the regions reach."""
        near = [
            not self._covered[cell.first + k] and is_near(mark, regions)
            for k, mark in enumerate(cell.marks)
        ]
        for first, last in _stretches(self._whole_words(cell, near)):
            if last > first:
                box = spot_of(self._sheet.rows, cell.first + first, cell.first + last).box
                self._labels.append(self._line(box, _WORDS))
            self._covered[cell.first + first : cell.first + last + 1] = True

    def _whole_words(self, cell: Spot, near: Sequence[bool]) -> list[bool]:
        """The same, with the rest of each word that is partly meant."""
        word = np.cumsum(self._sheet.rows.gap[cell.first : cell.first + len(cell.marks)])
        meant = set(word[np.array(near)].tolist())
        free = ~self._covered[cell.first : cell.first + len(cell.marks)]
        return [w in meant and bool(f) for w, f in zip(word.tolist(), free, strict=True)]

    def probe(self) -> None:
        """Read a little more where so far too little was read to judge the page by."""
        if self.characters >= _ENOUGH:
            return
        cells = sorted(text_cells(self._sheet.rows), key=lambda cell: -len(cell.marks))
        for cell in cells[:_PROBES]:
            last = min(len(cell.marks), _PROBE_MARKS) - 1
            if not self._covered[cell.first : cell.first + last + 1].any():
                box = spot_of(self._sheet.rows, cell.first, cell.first + last).box
                self._labels.append(self._line(box, _WORDS))

    def poor_places(self) -> Iterator[Place]:
        """Spots that were hardly read, in pixels of the turned picture."""
        unit = 1 / self._sheet.scale
        for spot, words in self._read:
            if is_unsure(words):
                x0, y0, x1, y1 = (side * unit for side in spot.box)
                yield Place((x0, y0, x1, y1))


def _scale(high: float) -> float:
    return min(3.0, max(_LARGER, _LEAST_TYPE / max(high, 1.0)))


def _stretches(near: Sequence[bool]) -> Iterator[tuple[int, int]]:
    start: int | None = None
    for at, wanted in enumerate([*near, False]):
        if wanted and start is None:
            start = at
        elif not wanted and start is not None:
            yield start, at - 1
            start = None


def _moved(word: OcrWord, left: float, top: float) -> OcrWord:
    symbols = tuple((c, a + left, b + top, x + left, y + top) for c, a, b, x, y in word.symbols)
    return OcrWord(symbols, word.confidence)
