"""Find numbers on a page from where its glyphs stand, not from the order they were drawn in.

Takes glyphs from any reader (MuPDF, PDFium, OCR) as runs with boxes. Glyphs
that stand on one line are read together from left to right, whoever drew them
and when; a label counts for what stands right of it or below it. Lengths are
in points in a frame where the text runs to the right and y grows downward.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from packets.identifiers.digits import fold
from packets.identifiers.find import broken_over_lines, decide, find_in_line, shifted
from packets.identifiers.kinds import Kind, KnownNumber, MaskPolicy
from packets.identifiers.known_digits import hunt
from packets.identifiers.labels import Label, labels_in
from packets.identifiers.records import Sureness, TextMatch

_WORD_GAP = 0.2
"""Gap between glyphs, in type heights, from which on a space is read."""
_CELL_GAP = 1.2
"""Gap from which on a cell border is read (a tab)."""
_SAME_LINE = 0.45
"""Share of the smaller height by which two runs must overlap to stand on one line."""
_ABOVE = 2.6
"""How far below its label a number may stand, in heights of the number."""
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


@dataclass(slots=True)
class _Line:
    text: str
    glyphs: list[tuple[int, ...]]
    x0: list[float]
    x1: list[float]
    top: float
    bottom: float


def find_on_page(
    runs: Sequence[GlyphRun], known: Sequence[KnownNumber], policy: MaskPolicy
) -> tuple[GlyphMatch, ...]:
    """Every number on a page that the policy masks."""
    lines = _lines(runs)
    glyphs: list[tuple[int, ...]] = []
    texts: list[str] = []
    matches: list[TextMatch] = []
    captions = [labels_in(line.text) for line in lines]
    for at, line in enumerate(lines):
        above = _Above(lines, captions, at)
        matches.extend(shifted(m, len(glyphs)) for m in find_in_line(line.text, above))
        texts.append(line.text)
        glyphs.extend(line.glyphs)
        glyphs.append(())
    text = "\n".join(texts)
    matches.extend(broken_over_lines(text))
    matches.extend(hunt(text, known))
    found = [_on_glyphs(match, text, glyphs) for match in decide(matches, policy)]
    found.extend(_in_drawing_order(runs, known, policy, found))
    return tuple(found)


def _on_glyphs(match: TextMatch, text: str, glyphs: Sequence[tuple[int, ...]]) -> GlyphMatch:
    inside = range(match.start, match.end)
    together = match.sureness is not Sureness.KNOWN or not any(
        text[i].isalpha() or text[i] in "\n\t" for i in inside
    )
    written = inside if together else match.digits
    return GlyphMatch(
        match.kind,
        tuple(glyphs[i] for i in match.digits),
        tuple(glyphs[i] for i in match.hidden),
        tuple(glyphs[i] for i in written if glyphs[i]),
        match.sureness,
        match.given,
    )


def _in_drawing_order(
    runs: Sequence[GlyphRun],
    known: Sequence[KnownNumber],
    policy: MaskPolicy,
    found: Sequence[GlyphMatch],
) -> list[GlyphMatch]:
    """Known numbers that show only in the order of drawing, or read backwards."""
    if not known:
        return []
    drawn = "".join(run.text for run in runs)
    numbers = [run.first + k for run in runs for k in range(len(run.text))]
    seen = {glyph for match in found for digit in match.digits for glyph in digit}
    extra: list[GlyphMatch] = []
    for reverse in (False, True):
        folded = fold(drawn[::-1] if reverse else drawn)
        order = numbers[::-1] if reverse else numbers
        hits = decide(list(hunt(folded.text, known)), policy)
        for match in hits:
            glyphs = [(order[folded.index[i]],) for i in match.digits]
            if any(glyph[0] not in seen for glyph in glyphs):
                place = dict(zip(match.digits, glyphs, strict=True))
                hidden = tuple(place[i] for i in match.hidden)
                extra.append(
                    GlyphMatch(
                        match.kind,
                        tuple(glyphs),
                        hidden,
                        tuple(glyphs),
                        match.sureness,
                        match.given,
                    )
                )
    return extra


class _Above:
    """The label that stands above a span of one line, by geometry."""

    def __init__(
        self, lines: Sequence[_Line], captions: Sequence[tuple[Label, ...]], at: int
    ) -> None:
        self._lines, self._captions, self._at = lines, captions, at

    def __call__(self, start: int, end: int) -> Label | None:
        line = self._lines[self._at]
        left, right = line.x0[start], line.x1[end - 1]
        height = line.bottom - line.top
        best: tuple[float, Label] | None = None
        for number in range(self._at - 1, -1, -1):
            other = self._lines[number]
            distance = line.top - other.bottom
            if distance > max(60.0, _ABOVE * height):
                break
            reach = _ABOVE * max(height, other.bottom - other.top)
            if distance > reach or other.bottom > line.bottom:
                continue
            for label in self._captions[number]:
                low, high = other.x0[label.start], other.x1[label.end - 1]
                if low - 1.5 * height <= left <= high or left <= low <= right:
                    score = max(distance, 0.0) + 0.05 * abs(left - low)
                    if best is None or score < best[0]:
                        best = (score, label)
        return best[1] if best else None


def _lines(runs: Sequence[GlyphRun]) -> list[_Line]:
    """Visual lines from top to bottom."""
    groups: list[list[GlyphRun]] = []
    bounds: list[tuple[float, float]] = []
    for run in sorted(runs, key=lambda r: (r.top + r.bottom, r.x0[0] if r.x0 else 0.0)):
        for at in range(len(groups) - 1, max(-1, len(groups) - 8), -1):
            top, bottom = bounds[at]
            shared = min(bottom, run.bottom) - max(top, run.top)
            if shared >= _SAME_LINE * max(min(bottom - top, run.bottom - run.top), 0.01) and (
                _alike(bottom - top, run.bottom - run.top)
            ):
                groups[at].append(run)
                break
        else:
            groups.append([run])
            bounds.append((run.top, run.bottom))
    return [_one_line(group, *bound) for group, bound in zip(groups, bounds, strict=True)]


def _alike(one: float, other: float) -> bool:
    small, large = sorted((max(one, 0.01), max(other, 0.01)))
    return large <= 2.5 * small


def _one_line(group: Sequence[GlyphRun], top: float, bottom: float) -> _Line:
    placed = sorted((glyph for run in group for glyph in _placed(run)), key=_by_place)
    line = _Line("", [], [], [], top, bottom)
    chars: list[str] = []
    before: _Placed | None = None
    for glyph in placed:
        if before is not None:
            if _is_overprint(before, glyph):
                line.glyphs[-1] = (*line.glyphs[-1], glyph.number)
                continue
            gap = _gap(before, glyph)
            if gap:
                _append(line, chars, gap, (), before.x1, glyph.x0)
        before = glyph
        folded = fold(glyph.char).text
        if folded:
            char = folded[0] if folded != "\n" else " "
            _append(line, chars, char, (glyph.number,), glyph.x0, glyph.x1)
    line.text = "".join(chars)
    return line


@dataclass(slots=True)
class _Placed:
    """One glyph on its line."""

    x0: float
    x1: float
    char: str
    number: int
    height: float
    spaced: bool
    """Whether a space was drawn before it."""


def _placed(run: GlyphRun) -> Iterator[_Placed]:
    height = max(run.bottom - run.top, 0.01)
    spaced = False
    for k, (char, x0, x1) in enumerate(zip(run.text, run.x0, run.x1, strict=True)):
        if char.isspace():
            spaced = True
        else:
            yield _Placed(x0, x1, char, run.first + k, height, spaced)
            spaced = False


def _by_place(glyph: _Placed) -> tuple[float, float]:
    return glyph.x0, glyph.x1


def _is_overprint(before: _Placed, glyph: _Placed) -> bool:
    near = _OVERPRINT * min(glyph.height, 2 * (glyph.x1 - glyph.x0) + 0.01)
    return glyph.char == before.char and glyph.x0 - before.x0 < near


def _gap(before: _Placed, glyph: _Placed) -> str:
    """A tab, a space or nothing, by the smaller of the two type sizes."""
    share = (glyph.x0 - before.x1) / min(before.height, glyph.height)
    if share > _CELL_GAP:
        return "\t"
    return " " if share > _WORD_GAP or (glyph.spaced and share > 0) else ""


def _append(
    line: _Line, chars: list[str], char: str, glyphs: tuple[int, ...], x0: float, x1: float
) -> None:
    chars.append(char)
    line.glyphs.append(glyphs)
    line.x0.append(x0)
    line.x1.append(x1)
