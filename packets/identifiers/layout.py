"""Find numbers on a page from where its glyphs stand, not from the order they were drawn in.

Takes glyphs from any reader (MuPDF, PDFium, OCR) as runs with boxes. A label
counts for what stands right of it or below it.
"""

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from operator import itemgetter

import regex

from packets.identifiers.broken_lines import broken_over_lines
from packets.identifiers.caption_above import CaptionsAbove
from packets.identifiers.digits import fold
from packets.identifiers.find import decide, find_in_line, shifted
from packets.identifiers.glyph_lines import GlyphRun, PageLine, page_lines
from packets.identifiers.kinds import Kind, KnownNumber, MaskPolicy
from packets.identifiers.known_digits import hunt, stands_alone
from packets.identifiers.ranges import personal_kind
from packets.identifiers.records import Sureness, TextMatch
from packets.identifiers.shapes import three_two_four

__all__ = ["GlyphMatch", "GlyphRun", "find_on_page"]

_SHAPE = Sureness.SHAPE
_DIGITS = regex.compile("[0-9]+")


@dataclass(frozen=True)
class GlyphMatch:
    """A number on a page. Each digit is one glyph, or several printed over one another."""

    kind: Kind
    digits: tuple[tuple[int, ...], ...]
    """Glyph numbers for each digit, in the number's order."""
    hidden: tuple[tuple[int, ...], ...]
    """The same for the digits that masking takes out."""
    written: tuple[tuple[int, ...], ...]
    """The same from the first digit to the last, with the marks between them."""
    sureness: Sureness
    given: bool = False


def find_on_page(
    runs: Sequence[GlyphRun], known: Sequence[KnownNumber], policy: MaskPolicy
) -> tuple[GlyphMatch, ...]:
    """Every number on a page that the policy masks."""
    lines = page_lines(runs)
    captions = CaptionsAbove(lines)
    sheet = _Sheet(closely=_worth_a_close_look(lines, known))
    matches: list[TextMatch] = []
    for at, line in enumerate(lines):
        if line.may_hold_number:
            found = find_in_line(line.labelled, partial(captions.of, at))
            matches.extend(shifted(match, sheet.length) for match in found)
        sheet.add(line)
    text = sheet.text()
    matches.extend(broken_over_lines(text))
    matches.extend(hunt(text, known))
    found_here = [sheet.on_glyphs(match, text) for match in decide(matches, policy)]
    found_here += _within_runs(runs, policy, found_here)
    return (*found_here, *_in_drawing_order(runs, known, policy, found_here))


def _worth_a_close_look(lines: Sequence[PageLine], known: Sequence[KnownNumber]) -> bool:
    """Whether a number may run over several lines, or a known one shows in any grouping."""
    rough = "\n".join(line.glance if line.glance is not None else line.read.text for line in lines)
    if next(broken_over_lines(rough), None) is not None:
        return True
    digits = "".join(_DIGITS.findall(rough)) if known else ""
    return any(number.digits.reveal() in digits for number in known)


def _within_runs(
    runs: Sequence[GlyphRun], policy: MaskPolicy, found: Sequence[GlyphMatch]
) -> list[GlyphMatch]:
    """Shapes inside one run that no line showed: lines set closely run into one another."""
    seen = {glyph for match in found for digit in match.digits for glyph in digit}
    extra: list[GlyphMatch] = []
    for run in runs:
        folded = fold(run.text)
        shaped = [
            TextMatch(personal_kind("".join(folded.text[i] for i in digits)), digits, _SHAPE)
            for digits in three_two_four(folded.text)
        ]
        for match in decide(shaped, policy):
            every = tuple((run.first + folded.index[i],) for i in match.digits)
            if not any(glyph in seen for (glyph,) in every):
                hidden = tuple((run.first + folded.index[i],) for i in match.hidden)
                extra.append(GlyphMatch(match.kind, every, hidden, every, match.sureness))
    return extra


class _Sheet:
    """All lines, joined by newlines; places of the text lead to glyphs.

    Without `closely` only the lines that may hold a number are read glyph by glyph;
    with it all, since a label may stand by itself above what it names.
    """

    def __init__(self, *, closely: bool) -> None:
        self._closely = closely
        self._texts: list[str] = []
        self._lines: list[tuple[int, PageLine]] = []
        self.length = 0

    def add(self, line: PageLine) -> None:
        """Put a line below the others; one that is not read only keeps its neighbours apart."""
        read = line.may_hold_number or self._closely
        text = line.read.text if read else ""
        self._lines.append((self.length, line))
        self._texts.append(text)
        self.length += len(text) + 1

    def text(self) -> str:
        """All lines."""
        return "\n".join(self._texts)

    def _glyphs(self, places: Sequence[int]) -> Iterator[tuple[int, ...]]:
        for place in places:
            start, line = self._lines[bisect_right(self._lines, place, key=itemgetter(0)) - 1]
            if place - start < len(line.read.numbers):
                yield line.read.glyphs(place - start)

    def on_glyphs(self, match: TextMatch, text: str) -> GlyphMatch:
        """The match with glyph numbers in place of indexes of `text`."""
        together = match.sureness is not Sureness.KNOWN or not any(
            char.isalpha() or char in "\n\t" for char in text[match.start : match.end]
        )
        written = range(match.start, match.end) if together else match.digits
        return GlyphMatch(
            match.kind,
            tuple(self._glyphs(match.digits)),
            tuple(self._glyphs(match.hidden)),
            tuple(glyphs for glyphs in self._glyphs(written) if glyphs),
            match.sureness,
            match.given,
        )


def _in_drawing_order(
    runs: Sequence[GlyphRun],
    known: Sequence[KnownNumber],
    policy: MaskPolicy,
    found: Sequence[GlyphMatch],
) -> list[GlyphMatch]:
    """Known numbers that show only in the order of drawing, or read backwards.

    Backwards only what stands together: amounts and line numbers of a page hold
    many a number when all its digits are read from the end.
    """
    if not known:
        return []
    drawn = "".join(run.text for run in runs)
    numbers = [run.first + k for run in runs for k in range(len(run.text))]
    seen = {glyph for match in found for digit in match.digits for glyph in digit}
    extra: list[GlyphMatch] = []
    for reverse in (False, True):
        folded = fold(drawn[::-1] if reverse else drawn)
        order = numbers[::-1] if reverse else numbers
        for match in decide(list(hunt(folded.text, known)), policy):
            if reverse and not stands_alone(folded.text, match.digits):
                continue
            glyphs = [(order[folded.index[i]],) for i in match.digits]
            if all(glyph[0] in seen for glyph in glyphs):
                continue
            place = dict(zip(match.digits, glyphs, strict=True))
            hidden = tuple(place[i] for i in match.hidden)
            every = tuple(glyphs)
            extra.append(GlyphMatch(match.kind, every, hidden, every, match.sureness, match.given))
    return extra
