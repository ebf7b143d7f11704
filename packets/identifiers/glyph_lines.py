"""Glyphs in runs, put together to the lines that a reader of the page sees.

Glyphs that stand on one line are read together from left to right, whoever
drew them and when. Lengths are in points in a frame where the text runs to the
right and y grows downward.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from operator import sub

from packets.identifiers.digits import fold
from packets.identifiers.labelled_line import LabelledLine
from packets.identifiers.shapes import may_hold_number

WORD_GAP = 0.16
"""Gap between glyphs, in type heights, from which on a space is read."""
CELL_GAP = 1.2
"""Gap from which on a cell border is read (a tab)."""
_SAME_LINE = 0.45
"""Share of the smaller height by which two runs must overlap to stand on one line."""
_ALIKE = 2.5
"""Runs on one line differ in height by no more than this."""
_OVERPRINT = 0.25
"""The same character this close, in type heights, is one glyph printed twice."""


@dataclass(frozen=True, slots=True)
class GlyphRun:
    """Neighbouring glyphs on one baseline, in the order in which they were drawn."""

    text: str
    """One character per glyph."""
    x0: Sequence[float]
    x1: Sequence[float]
    top: float
    bottom: float
    first: int
    """Number of the first glyph on the page; the others follow."""


@dataclass(slots=True)
class LineText:
    """The characters of one line, with the place and the glyph of each."""

    text: str
    numbers: list[int]
    """Number of the glyph that shows a character; -1 for a gap where none is drawn."""
    x0: list[float]
    x1: list[float]
    overprints: dict[int, tuple[int, ...]]
    """Further glyphs printed over the one at an index."""

    def glyphs(self, at: int) -> tuple[int, ...]:
        """Every glyph that shows the character at an index."""
        number = self.numbers[at]
        return () if number < 0 else (number, *self.overprints.get(at, ()))


class PageLine:
    """One visual line. It is read only when somebody asks for its text."""

    def __init__(self, runs: Sequence[GlyphRun], top: float, bottom: float) -> None:
        self._runs = sorted(runs, key=lambda run: run.x0[0])
        self.top = top
        self.bottom = bottom

    @cached_property
    def glance(self) -> str | None:
        """Its text run by run, without a look at each glyph; None where runs are tangled.

        Enough to tell whether a closer look is worth while. Runs that overlap, or
        whose glyphs do not run to the right, tell nothing at a glance.
        """
        texts: list[str] = []
        right, height_before = 0.0, 0.0
        for run in self._runs:
            places = list(run.x0)
            if places != sorted(places) or (texts and places[0] < right):
                return None
            height = _height(run)
            if texts:
                texts.append(_gap((places[0] - right) / min(height, height_before), spaced=True))
            texts.append(_folded(run))
            right, height_before = run.x1[-1], height
        return "".join(texts).replace("\0", "")

    @cached_property
    def read(self) -> LineText:
        """Its characters from left to right."""
        return _in_order(self._runs) or _sorted_line(self._runs)

    @property
    def may_hold_number(self) -> bool:
        """Whether a rule could find a number on this line."""
        return self.glance is None or may_hold_number(self.glance)

    @cached_property
    def labelled(self) -> LabelledLine:
        """Its text as the rules read it."""
        return LabelledLine(self.read.text)

    @cached_property
    def cells(self) -> list[tuple[int, int]]:
        """Spans of its text between cell borders."""
        spans, start = [], 0
        for part in self.read.text.split("\t"):
            spans.append((start, start + len(part)))
            start += len(part) + 1
        return [(low, high) for low, high in spans if high > low]


def page_lines(runs: Sequence[GlyphRun]) -> list[PageLine]:
    """Visual lines from top to bottom."""
    bounds: list[tuple[float, float]] = []
    placed: list[tuple[GlyphRun, int]] = []
    drawn = (run for run in runs if run.text)
    for run in sorted(drawn, key=lambda r: (r.top + r.bottom, r.x0[0])):
        at = _line_of(run, bounds, range(len(bounds) - 1, max(-1, len(bounds) - 8), -1))
        if at is None:
            at = len(bounds)
            bounds.append((run.top, run.bottom))
        placed.append((run, at))
    groups: list[list[GlyphRun]] = [[] for _ in bounds]
    for run, at in placed:
        # A line that began after this run was placed may fit it better.
        later = range(min(len(bounds), at + 4) - 1, at - 1, -1)
        reaches = any(bounds[line][0] < run.bottom for line in later if line > at)
        best = _line_of(run, bounds, later) if reaches else at
        groups[at if best is None else best].append(run)
    return [PageLine(group, *bound) for group, bound in zip(groups, bounds, strict=True) if group]


def _line_of(run: GlyphRun, bounds: Sequence[tuple[float, float]], among: range) -> int | None:
    """The line with which a run shares most of its height, if it shares enough with any."""
    best, most = None, 0.0
    for at in among:
        top, bottom = bounds[at]
        smaller = max(min(bottom - top, run.bottom - run.top), 0.01)
        share = (min(bottom, run.bottom) - max(top, run.top)) / smaller
        fits = share >= _SAME_LINE and _alike(bottom - top, run.bottom - run.top)
        if fits and share > most + 0.05:
            best, most = at, share
    return best


def _alike(one: float, other: float) -> bool:
    small, large = sorted((max(one, 0.01), max(other, 0.01)))
    return large <= _ALIKE * small


def _folded(run: GlyphRun) -> str:
    """The run's text, one character per glyph: what folds away is a zero character."""
    folded = fold(run.text)
    if len(folded.text) == len(run.text):
        return folded.text.replace("\n", " ").replace("\t", " ")
    chars = ["\0"] * len(run.text)
    for at, char in zip(folded.index, folded.text, strict=True):
        chars[at] = " " if char in "\n\t" else char
    return "".join(chars)


def _height(run: GlyphRun) -> float:
    return max(run.bottom - run.top, 0.01)


def _in_order(runs: Sequence[GlyphRun]) -> LineText | None:
    """The line when every glyph stands right of the one before; None when it does not.

    `runs` come from left to right.

    Most lines do, and are put together run by run instead of glyph by glyph.
    """
    line = LineText("", [], [], [], {})
    texts: list[str] = []
    right, height_before = 0.0, 0.0
    for run in runs:
        text, height = _folded(run), _height(run)
        middles = [(left + right) / 2 for left, right in zip(run.x0, run.x1, strict=True)]
        if "\0" in text or "  " in text or min(map(sub, run.x0[1:], middles), default=1) <= 0.003:
            return None
        start, end = len(text) - len(text.lstrip()), len(text.rstrip())
        if start >= end:
            return None
        if texts:
            width = run.x0[start] - right
            if width < 0:
                return None
            spaced = start > 0 or run.x0[0] < right
            gap = _gap(width / min(height, height_before), spaced=spaced)
            if gap:
                _put_gap(line, texts, gap, right, run.x0[start])
        _put_run(line, texts, run, text, start, end)
        right, height_before = run.x1[end - 1], height
    line.text = "".join(texts)
    return line


def _put_run(
    line: LineText, texts: list[str], run: GlyphRun, text: str, start: int, end: int
) -> None:
    """Put the glyphs of a run behind what the line has, with the gaps between them."""
    height = _height(run)
    wide, widest = WORD_GAP * height, CELL_GAP * height
    done = start
    widths = list(map(sub, run.x0[1:], run.x1))
    if max(widths, default=0) > wide or " " in text:
        for at in range(start + 1, end):
            if text[at] == " ":
                if run.x0[at + 1] - run.x1[at - 1] > widest:  # as wide as a cell border
                    _put(line, texts, run, text, done, at)
                    _put_gap(line, texts, "\t", run.x1[at - 1], run.x0[at + 1])
                    done = at + 1
            elif widths[at - 1] > wide and text[at - 1] != " ":
                _put(line, texts, run, text, done, at)
                _put_gap(line, texts, _gap(widths[at - 1] / height), run.x1[at - 1], run.x0[at])
                done = at
    _put(line, texts, run, text, done, end)


def _put(line: LineText, texts: list[str], run: GlyphRun, text: str, start: int, end: int) -> None:
    texts.append(text[start:end])
    line.numbers.extend(range(run.first + start, run.first + end))
    line.x0.extend(run.x0[start:end])
    line.x1.extend(run.x1[start:end])


def _put_gap(
    line: LineText, texts: list[str], gap: str, x0: float, x1: float, number: int = -1
) -> None:
    texts.append(gap)
    line.numbers.append(number)
    line.x0.append(x0)
    line.x1.append(x1)


def _gap(share: float, *, spaced: bool = False) -> str:
    """A tab, a space or nothing, by the gap in heights of the smaller of the two types."""
    if share > CELL_GAP:
        return "\t"
    return " " if share > WORD_GAP or (spaced and share > 0) else ""


Placed = tuple[float, float, str, int, float, int]
"""One glyph: left, right, character, number, type height, number of the space before it or -1."""


def _placed(run: GlyphRun) -> Iterator[Placed]:
    height = _height(run)
    space = -1
    for at, (char, x0, x1) in enumerate(zip(_folded(run), run.x0, run.x1, strict=True)):
        if char == " ":
            space = run.first + at
        elif char != "\0":
            yield x0, x1, char, run.first + at, height, space
            space = -1


def _sorted_line(runs: Sequence[GlyphRun]) -> LineText:
    """The line glyph by glyph, from left to right; what is printed twice is one character."""
    line = LineText("", [], [], [], {})
    texts: list[str] = []
    right, height_before, left = 0.0, 0.0, 0.0
    for x0, x1, char, number, height, space in sorted(
        (glyph for run in runs for glyph in _placed(run)), key=lambda glyph: glyph[:3]
    ):
        if texts:
            near = _OVERPRINT * min(height, 2 * (x1 - x0) + 0.01)
            if char == texts[-1] and x0 - left < near:
                at = len(texts) - 1
                line.overprints[at] = (*line.overprints.get(at, ()), number)
                continue
            gap = _gap((x0 - right) / min(height_before, height), spaced=space >= 0)
            if gap:
                _put_gap(line, texts, gap, right, x0, space if gap == " " else -1)
        texts.append(char)
        line.numbers.append(number)
        line.x0.append(x0)
        line.x1.append(x1)
        right, height_before, left = x1, height, x0
    line.text = "".join(texts)
    return line
