"""Character recognition only where digits may stand, with the words beside and above.

Made for a picture that is sharp, dark on light, and read surely. In any other
case there is no answer, and the picture is read whole.
"""

import re
from collections.abc import Callable, Iterator, Sequence

import numpy as np
from PIL import Image

from packets.outbound.picture_marks import PictureMarks, marks_in
from packets.outbound.picture_spots import Box, cells_of, rows_of, spots_in, words_over
from packets.outbound.spot_words import SHARP_SIDE, SpotWord

_SIDE = 2200
_SURE = 80.0
_ENOUGH = 40
"""Letters that must be read before a picture is believed to read well."""
_TRIAL_CELLS, _TRIAL_MARKS = 4, 26
_MOST_SPOTS = 300
_MOST_FIELD = 0.06
"""Share of the picture that dark fields may cover together."""
_LEFT, _ABOVE, _BEFORE, _AFTER = 34.0, 3.2, 14.0, 12.0
"""How far from a number the words are read that may be its label, in heights."""
_PLAIN = re.compile(
    r"(?<!\S)(?:[$(]*\d{1,3}(?:,\d{3})*(?:\.\d\d)?\)?|[$(]*\d+\.\d\d\)?|(?:19|20)\d\d[,.)]?"
    r"|\d{1,2}/\d{1,2}/\d{2,4}|(?:1-)?\(?\d{3}\)?[ .-]\d{3}[.-]\d{4}|[A-Z]{2} \d{5}(?:-\d{4})?"
    r"|\d{4}-\d{4})(?=[.,;]?(?:\s|$))"
)
"""Amounts, years, dates, telephone numbers, ZIP codes behind their state, OMB numbers."""
_WORDS = 0.75
"""Width against height at which words are read: it saves a quarter of the time."""
_APART = 0.4
"""Gap in heights between digits that stand in boxes."""
_ANY_LETTER = "n"
_FRAME = 12
_TYPE = 24.0


def read_spots(
    picture: Image.Image, recognise: Callable[[Image.Image], Sequence[SpotWord]]
) -> tuple[SpotWord, ...] | None:
    """Everything in a grey picture that may be a number, with its labels; None: read it whole.

    `recognise` reads a picture of one line.
    """
    if max(picture.size) < SHARP_SIDE:
        return None
    scale = _SIDE / max(picture.size)
    sized = picture
    if not 0.98 < scale < 1.02:
        size = max(1, round(picture.width * scale)), max(1, round(picture.height * scale))
        sized = picture.resize(size, Image.Resampling.BICUBIC)
    else:
        scale = 1.0
    marks = marks_in(sized)
    if marks is None or _much_dark(marks):
        return None
    if marks.empty:
        return ()
    work = _Spots(marks, recognise)
    if not work.read():
        return None
    return tuple(_unscaled(word, scale) for word in (*work.words, *work.others()))


def _much_dark(marks: PictureMarks) -> bool:
    covered = sum((x1 - x0) * (y1 - y0) for x0, y0, x1, y1 in marks.fields)
    return covered > _MOST_FIELD * marks.tones.size


def _unscaled(line: SpotWord, scale: float) -> SpotWord:
    letters = tuple(
        (char, x0 / scale, y0 / scale, x1 / scale, y1 / scale)
        for char, x0, y0, x1, y1 in line.letters
    )
    return SpotWord(letters, line.confidence)


class _Spots:
    """One picture on the way."""

    def __init__(
        self, marks: PictureMarks, recognise: Callable[[Image.Image], Sequence[SpotWord]]
    ) -> None:
        self._marks = marks
        self._recognise = recognise
        self._rows = rows_of(marks)
        self._done: set[tuple[int, int]] = set()
        """Marks that were read, by row and place."""
        self.words: list[SpotWord] = []

    def read(self) -> bool:
        """Read the spots and the words near them; whether the answer can be believed."""
        spots = [(at, *spot) for at, row in enumerate(self._rows) for spot in spots_in(row)]
        if len(spots) > _MOST_SPOTS:
            return False
        for field in self._marks.fields:
            self._take(field)
        asking = [
            self._rows[at].box(first, last)
            for at, first, last in spots
            if _asks(self._part(at, first, last))
        ]
        if self._letters() >= _ENOUGH and self._confidence() < _SURE:
            return False
        for box in asking:
            self._read_near(box)
        if self._letters() < _ENOUGH:
            self._read_some()
        return self._letters() >= _ENOUGH and self._confidence() >= _SURE

    def others(self) -> Iterator[SpotWord]:
        """Stand-ins for the words that were not read on rows of which something was.

        Without them a gap would seem to part what one sentence holds together.
        """
        for at in sorted({row for row, _ in self._done}):
            row = self._rows[at]
            start = 0
            for place in range(1, len(row.marks) + 1):
                if place < len(row.marks) and row.gap(place) < _APART:
                    continue
                if not any((at, k) in self._done for k in range(start, place)):
                    yield SpotWord(
                        tuple((_ANY_LETTER, float(x0), float(y0), float(x1), float(y1))
                              for x0, y0, x1, y1 in row.marks[start:place]), _SURE
                    )  # fmt: skip
                start = place

    def _read_near(self, box: Box) -> None:
        high = box[3] - box[1]
        for at, row in enumerate(self._rows):
            top = min(mark[1] for mark in row.marks)
            foot = max(mark[3] for mark in row.marks)
            if top < box[3] and foot > box[1]:
                self._words(at, box[0] - _LEFT * high, box[2] + 3 * high)
            elif 0 <= box[1] - foot + 0.5 * high <= _ABOVE * max(high, foot - top):
                self._words(at, box[0] - _BEFORE * high, box[2] + _AFTER * high)

    def _words(self, at: int, left: float, right: float) -> None:
        found = words_over(self._rows[at], left, right)
        if found is None:
            return
        start: int | None = None
        for place in range(found[0], found[1] + 2):
            free = place <= found[1] and (at, place) not in self._done
            if free and start is None:
                start = place
            elif not free and start is not None:
                if place - start > 1:
                    self._part(at, start, place - 1, _WORDS)
                start = None

    def _read_some(self) -> None:
        """The longest cells, to see whether the picture reads well at all."""
        cells = [(at, *cell) for at, row in enumerate(self._rows) for cell in cells_of(row)]
        cells.sort(key=lambda cell: cell[1] - cell[2])
        for at, first, last in cells[:_TRIAL_CELLS]:
            if (at, first) not in self._done:
                self._part(at, first, min(last, first + _TRIAL_MARKS))

    def _part(self, at: int, first: int, last: int, across: float = 1.0) -> tuple[SpotWord, ...]:
        self._done.update((at, place) for place in range(first, last + 1))
        row = self._rows[at]
        if last - first >= 4 and all(row.gap(k) > _APART for k in range(first + 1, last + 1)):
            words = self._in_boxes(row.marks[first : last + 1])
            if words:
                self.words.extend(words)
                return words
        return self._take(row.box(first, last), across)

    def _in_boxes(self, marks: Sequence[Box]) -> tuple[SpotWord, ...]:
        """Digits of a row of boxes, put side by side and read as one word; or nothing."""
        high = sorted(y1 - y0 for _, y0, _, y1 in marks)[len(marks) // 2]
        kept = [box for box in marks if 0.75 * high < box[3] - box[1] < 1.3 * high]
        if len(kept) < len(marks) - 1:
            return ()
        step = high // 4 + 1
        width = sum(x1 - x0 + step for x0, _, x1, _ in kept) + 2 * _FRAME
        row = np.full((high * 2 + 2 * _FRAME, width), 255, dtype=np.uint8)
        at = _FRAME
        for x0, y0, x1, y1 in kept:
            foot = _FRAME + round(1.5 * high)
            row[foot - (y1 - y0) : foot, at : at + x1 - x0] = self._marks.tones[y0:y1, x0:x1]
            at += x1 - x0 + step
        words = self._recognise(Image.fromarray(row))
        text = "".join(letter[0] for word in words for letter in word.letters)
        if len(text) != len(kept):
            return ()
        sure = min(word.confidence for word in words)
        return tuple(
            SpotWord(((char, float(x0), float(y0), float(x1), float(y1)),), sure)
            for char, (x0, y0, x1, y1) in zip(text, kept, strict=True)
        )

    def _take(self, box: Box, across: float = 1.0) -> tuple[SpotWord, ...]:
        high = box[3] - box[1]
        left, top = box[0] - high // 5 - 1, box[1] - high // 4
        cut = self._cut_out((left, top, box[2] + high // 5 + 2, box[3] + high // 4 + 1))
        times = min(3.0, max(1.0, _TYPE / max(1, high)))
        sized = cut.resize((round(cut.width * times * across), round(cut.height * times)))
        words = tuple(
            _moved(word, times * across, times, (left - _FRAME, top - _FRAME))
            for word in self._recognise(sized)
        )
        self.words.extend(words)
        return words

    def _cut_out(self, box: Box) -> Image.Image:
        """A part of the picture without rules, framed in white."""
        height, width = self._marks.tones.shape
        x0, y0, x1, y1 = max(0, box[0]), max(0, box[1]), min(width, box[2]), min(height, box[3])
        tones, rules = self._marks.tones[y0:y1, x0:x1], self._marks.rules[y0:y1, x0:x1]
        if rules.any() and not self._is_field(box):
            near = rules.copy()
            near[1:] |= rules[:-1]
            near[:-1] |= rules[1:]
            near[:, 1:] |= rules[:, :-1]
            near[:, :-1] |= rules[:, 1:]
            tones = np.where(near, np.uint8(255), tones)
        framed = np.full(
            (box[3] - box[1] + 2 * _FRAME, box[2] - box[0] + 2 * _FRAME), 255, np.uint8
        )
        top, left = _FRAME + y0 - box[1], _FRAME + x0 - box[0]
        framed[top : top + y1 - y0, left : left + x1 - x0] = tones
        return Image.fromarray(framed)

    def _is_field(self, box: Box) -> bool:
        return any(
            box[0] <= f[0] and box[1] <= f[1] and box[2] >= f[2] and box[3] >= f[3]
            for f in self._marks.fields
        )

    def _letters(self) -> int:
        return sum(len(line.letters) for line in self.words)

    def _confidence(self) -> float:
        total = sum(len(line.letters) * line.confidence for line in self.words)
        return total / max(1, self._letters())


def _moved(word: SpotWord, across: float, down: float, corner: tuple[int, int]) -> SpotWord:
    left, top = corner
    letters = tuple(
        (char, left + x0 / across, top + y0 / down, left + x1 / across, top + y1 / down)
        for char, x0, y0, x1, y1 in word.letters
    )
    return SpotWord(letters, word.confidence)


def _asks(words: Sequence[SpotWord]) -> bool:
    """Whether a label may decide what was read: five digits or more that explain themselves by
    nothing, or print that is hardly legible.
    """
    text = " ".join("".join(letter[0] for letter in word.letters) for word in words)
    if any(word.confidence < _SURE for word in words):
        return sum(map(str.isdigit, text)) >= 2
    return sum(map(str.isdigit, _PLAIN.sub(" ", text))) >= 5
