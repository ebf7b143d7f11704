"""Which numbers in drawn ink a policy masks, and what of them goes."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import pymupdf

from packets.base.geometry import Box
from packets.base.secret import Secret
from packets.identifiers.digits import fold
from packets.identifiers.kinds import ALL_KINDS, Kind, KnownNumber, MaskPolicy
from packets.identifiers.layout import GlyphMatch, GlyphRun, find_on_page
from packets.identifiers.payload import payload_kind
from packets.identifiers.records import Sureness
from packets.masking.drawn_records import (
    DrawnCell,
    DrawnFinding,
    DrawnReading,
    DrawnSurvey,
    DrawnSymbol,
    PageBox,
)
from packets.reading.ocr_glyphs import picture_runs
from packets.reading.records import PictureText
from packets.reading.unexplained_rows import around

_EVERY_KIND = MaskPolicy(kinds=ALL_KINDS)
_LONG = 7
CODE_NOTE = "barcode removed"
_SURE = 80.0
"""Digits less surely read than this are not written again: a mask stands for them."""


def drawn_findings(
    survey: DrawnSurvey,
    known: Sequence[KnownNumber],
    policy: MaskPolicy,
    *,
    blank: bool = False,
) -> tuple[DrawnFinding, ...]:
    """Numbers and codes of one page that the policy masks, in part or whole in drawn ink.

    With `blank` a number goes whole and leaves room to be written in.
    """
    found: list[DrawnFinding] = []
    for reading in survey.readings:
        found.extend(_PageFinder(survey, reading, policy, blank=blank).findings(known))
    for code in survey.codes:
        if code.content is None:
            kind: Kind | None = Kind.SSN if policy.masks(Kind.SSN) else None
        else:
            kind = payload_kind(code.content.reveal(), known, policy)
        if kind is not None:
            cell = DrawnCell(moved(code.box, survey.to_user_space), True, "")
            place = _shown(code.box, survey.as_shown)
            found.append(
                DrawnFinding(
                    survey.page, kind, CODE_NOTE, place, (cell,), colour=code.colour, barcode=True
                )
            )
    return tuple(found)


def drawn_learned(surveys: Iterable[DrawnSurvey]) -> tuple[KnownNumber, ...]:
    """Numbers that a label names, or that are written as one, and were surely read: each once."""
    found: dict[tuple[Kind, str], KnownNumber] = {}
    for survey in surveys:
        for reading in survey.readings:
            for kind, text in _PageFinder(survey, reading, _EVERY_KIND, blank=False).written():
                if text.isdigit() and len(text) >= _LONG:
                    found.setdefault((kind, text), KnownNumber(kind, Secret(text)))
    return tuple(found.values())


@dataclass(frozen=True, slots=True, repr=False)
class _Digit:
    """One place of a number: drawn symbols, glyphs of the page's text, or both."""

    char: str
    symbols: tuple[DrawnSymbol, ...]
    glyphs: tuple[int, ...]


class _PageFinder:
    """Looks for numbers in the ink of one direction, alone and together with the text beside."""

    def __init__(
        self, survey: DrawnSurvey, reading: DrawnReading, policy: MaskPolicy, *, blank: bool
    ) -> None:
        self._survey, self._reading, self._policy = survey, reading, policy
        self._blank = blank
        self._first = len(survey.text.drawn)
        text = PictureText(reading.words, reading.turns, 0, 0, 0.0)
        self._ink = tuple(
            GlyphRun(run.text, run.x0, run.x1, run.top, run.bottom, run.first + self._first)
            for run in picture_runs(text)
        )
        self._chars = {run.first + k: char for run in self._ink for k, char in enumerate(run.text)}

    def findings(self, known: Sequence[KnownNumber]) -> Iterator[DrawnFinding]:
        taken: set[int] = set()
        alone = find_on_page(self._ink, known, self._policy)
        both = find_on_page((*self._reading.beside, *self._ink), known, self._policy)
        # Ink that is a number without help of the text is read without the text that lies over it.
        for match in (*filter(self._uses_text, both), *alone, *both):
            drawn = {k for digit in match.digits for k in digit if k >= self._first}
            if drawn and not drawn <= taken:
                taken |= drawn
                yield self._finding(match)

    def _uses_text(self, match: GlyphMatch) -> bool:
        """Whether some digit of a match stands in the text alone."""
        return any(all(k < self._first for k in digit) for digit in match.digits)

    def written(self) -> Iterator[tuple[Kind, str]]:
        """Kind and digits of the numbers that are more than a bare run."""
        for match in find_on_page((*self._reading.beside, *self._ink), (), _EVERY_KIND):
            digits = [self._digit(place) for place in match.digits]
            drawn = [symbol for digit in digits for symbol in digit.symbols]
            sure = all(symbol.sure >= _SURE for symbol in drawn)
            if drawn and sure and match.sureness >= Sureness.SHAPE:
                yield match.kind, fold("".join(digit.char for digit in digits)).text

    def _finding(self, match: GlyphMatch) -> DrawnFinding:
        going = set(match.digits if self._blank else match.hidden)
        mask = " " if self._blank else self._policy.glyph
        cells: list[DrawnCell] = []
        boxes: list[PageBox] = []
        shown: list[str] = []
        origins: list[tuple[float, float]] = []
        colour: tuple[float, ...] = (0.0,)
        for place in match.written:
            digit = self._digit(place)
            goes = place in going
            shown.append(mask if goes else digit.char)
            boxes.extend(symbol.box for symbol in digit.symbols)
            boxes.extend(self._survey.text[k].box for k in digit.glyphs)
            if place not in match.digits:
                continue
            sure = all(symbol.sure >= _SURE for symbol in digit.symbols)
            for symbol in digit.symbols:
                if not symbol.glyphs:
                    box = moved(symbol.box, self._survey.to_user_space)
                    cells.append(DrawnCell(box, goes, digit.char if sure and not goes else mask))
                    colour = symbol.colour
            if goes:
                origins.extend(self._origin(k) for k in digit.glyphs)
        return DrawnFinding(
            self._survey.page,
            match.kind,
            "".join(shown),
            _shown(around(boxes), self._survey.as_shown),
            tuple(cells),
            tuple(origins),
            mask,
            self._reading.turns,
            colour,
        )

    def _digit(self, place: Sequence[int]) -> _Digit:
        symbols = tuple(self._reading.symbols[k - self._first] for k in place if k >= self._first)
        glyphs = [k for k in place if k < self._first]
        glyphs.extend(k for symbol in symbols for k in symbol.glyphs)
        first = place[0]
        char = self._chars[first] if first >= self._first else self._survey.text[first].char
        return _Digit(char, symbols, tuple(dict.fromkeys(glyphs)))

    def _origin(self, glyph: int) -> tuple[float, float]:
        x, y = self._survey.text[glyph].origin
        point = pymupdf.Point(x, y) * self._survey.to_user_space
        return point.x, point.y


def moved(box: PageBox, matrix: pymupdf.Matrix) -> PageBox:
    """The box around where a matrix takes a box."""
    there = pymupdf.Rect(box) * matrix
    return there.x0, there.y0, there.x1, there.y1


def _shown(box: PageBox, matrix: pymupdf.Matrix) -> Box:
    return Box(*moved(box, matrix))
