"""Find taxpayer numbers in a text: known ones, labelled ones, shaped ones, and bare runs.

Rules (design of the house): a known number goes in every written form; a shape
goes whether or not its range is valid; a bare run of nine digits that no label
explains goes too; a run that its label explains as something else stays.
"""

from collections.abc import Callable, Iterator, Sequence

import regex

from packets.identifiers import shapes
from packets.identifiers.broken_lines import broken_over_lines
from packets.identifiers.digits import fold
from packets.identifiers.kinds import NINE_DIGIT_KINDS, Kind, KnownNumber, MaskPolicy
from packets.identifiers.known_digits import hunt
from packets.identifiers.labelled import (
    is_further_box,
    numeric_runs,
    runs_after,
    single_runs,
)
from packets.identifiers.labelled_line import LabelledLine
from packets.identifiers.labels import Label
from packets.identifiers.ranges import personal_kind
from packets.identifiers.records import Sureness, TextMatch

Above = Callable[[int, int], Label | None]
"""Given a span of a line, the label that stands above it, if any."""

_FEWEST = regex.compile(r"(?:[0-9][^0-9]*+){3}")
"""No rule takes fewer than three digits for a number."""
_DENSE = regex.compile(r"[0-9](?:[^0-9\n]{0,6}[0-9]){4}")
"""Five digits close together: the least that a label above may speak of."""
_ONE_NUMBER = 17
"""A run of more digits is more than one number: no label stands for it alone."""
_WORDS_BEFORE = regex.compile(r"[A-Za-z]{2}[^\t]*$")


def find_in_text(
    text: str, known: Sequence[KnownNumber], policy: MaskPolicy
) -> tuple[TextMatch, ...]:
    """Every number in `text` that the policy masks; indexes are those of `text`.

    Lines are parted by newlines; a label decides over the run after it on its
    line, or below it on the next. Matches do not share digits: the surer one
    wins, and of two equally sure the longer.
    """
    folded = fold(text)
    matches = [*hunt(folded.text, known), *broken_over_lines(folded.text)]
    start, previous = 0, ""
    for line in folded.text.split("\n"):
        if _FEWEST.search(line):
            for match in find_in_line(LabelledLine(line), _AboveByOrder(line, previous)):
                matches.append(shifted(match, start))
        start += len(line) + 1
        previous = line if line.strip() else previous
    return tuple(
        TextMatch(m.kind, tuple(folded.index[i] for i in m.digits), m.sureness, m.given)
        for m in decide(matches, policy)
    )


def find_in_line(line: LabelledLine, above: Above) -> Iterator[TextMatch]:
    """Numbers of every kind in one line, without the known ones."""
    text = line.text
    for span in line.masks.spans:
        above(*span)  # a column goes on below a number that is masked already
    if not shapes.may_hold_number(text):
        return
    yield from _labelled(line)
    yield from _by_label_above(line, above)
    for digits in shapes.three_two_four(text):
        yield _nine(text, digits, Sureness.SHAPE)
    for digits, meant in shapes.misread_three_two_four(text):
        yield TextMatch(personal_kind(meant), digits, Sureness.SHAPE)
    for digits in shapes.two_seven(text):
        yield TextMatch(Kind.EIN, digits, Sureness.SHAPE)
    for digits in shapes.cards(text):
        if not _is_explained(line, above, digits):
            yield TextMatch(Kind.CARD, digits, Sureness.SHAPE)
    for digits in (*shapes.nine_in_a_row(text), *shapes.nine_cells(text)):
        if not _is_explained(line, above, digits):
            yield _nine(text, digits, Sureness.BARE_RUN)


def decide(matches: Sequence[TextMatch], policy: MaskPolicy) -> tuple[TextMatch, ...]:
    """Of matches that share digits keep the surest, then the longest; then apply the policy.

    A known number of a kind that stays (an employer's EIN) explains nothing
    away: it is dropped first, so that what its place looks like still counts.
    Of a shape that a label's run cuts in two, the rest goes as well.
    """
    candidates = [
        m
        for m in matches
        if m.sureness is not Sureness.KNOWN or policy.masks(m.kind, given=m.given)
    ]
    taken: set[int] = set()
    kept: list[TextMatch] = []
    for match in sorted(candidates, key=lambda m: (-m.sureness, -len(m.digits), m.digits)):
        rest = tuple(place for place in match.digits if place not in taken)
        if rest and (len(rest) == len(match.digits) or match.sureness is Sureness.SHAPE):
            taken.update(rest)
            if policy.masks(match.kind, given=match.given):
                kept.append(TextMatch(match.kind, rest, match.sureness, match.given))
    return tuple(sorted(kept, key=lambda m: m.digits))


def shifted(match: TextMatch, by: int) -> TextMatch:
    """The same match with its indexes moved on by `by`."""
    if not by:
        return match
    return TextMatch(match.kind, tuple(i + by for i in match.digits), match.sureness, match.given)


def _labelled(line: LabelledLine) -> Iterator[TextMatch]:
    for label, limit in zip(line.labels, line.limits, strict=True):
        if label.kind is not None:
            for digits in runs_after(line.text, label.end, limit, label.kind):
                yield _named(line.text, digits, label)


def _by_label_above(line: LabelledLine, above: Above) -> Iterator[TextMatch]:
    text, done = line.text, -1
    for start, end in single_runs(text):
        if start < done or not _DENSE.match(text, start) or is_further_box(text, start):
            continue
        governed = line.governing(start)
        if governed and governed.same_cell and " " not in text[governed.start : start]:
            continue
        label = above(start, end)
        if label is None or label.kind is None:
            continue
        first = _token_start(text, start)
        if label.kind not in NINE_DIGIT_KINDS and _WORDS_BEFORE.search(
            text[max(0, first - 80) : first]
        ):
            continue  # words in its own cell say what it is
        for digits in runs_after(text, first, line.next_label(end), label.kind):
            if digits[0] <= end:
                done = digits[-1] + 1
                yield _named(text, digits, label)


def _token_start(text: str, start: int) -> int:
    first = start
    while first and start - first < 6 and text[first - 1].isalpha():
        first -= 1
    return first


def _named(line: str, digits: tuple[int, ...], label: Label) -> TextMatch:
    """A labelled match. Whatever its label says, three-two-four is a personal number."""
    kind = label.kind or Kind.SSN
    groups = tuple(len(group) for group in _groups(line, digits))
    if groups == (2, 7) and label.generic:
        return TextMatch(Kind.EIN, digits, Sureness.LABELLED)
    if len(digits) == 9 and (groups == (3, 2, 4) or kind in NINE_DIGIT_KINDS - {Kind.EIN}):
        return _nine(line, digits, Sureness.LABELLED)
    return TextMatch(kind, digits, Sureness.LABELLED)


def _groups(line: str, digits: tuple[int, ...]) -> list[str]:
    inside = set(digits)
    written = "".join(line[i] if i in inside else " " for i in range(digits[0], digits[-1] + 1))
    return written.split()


def _nine(text: str, digits: tuple[int, ...], sureness: Sureness) -> TextMatch:
    return TextMatch(personal_kind("".join(text[i] for i in digits)), digits, sureness)


def _is_explained(line: LabelledLine, above: Above, digits: tuple[int, ...]) -> bool:
    """Whether a label says that a run is something else, or an employer's number."""
    others = (None, Kind.EIN) if len(digits) == 9 else (None,)
    governed = line.governing(digits[0])
    if governed is not None:
        kind, before = governed.label.kind, line.text[governed.start : digits[0]]
        own = not before or (
            kind is None
            and " " not in before
            and len(shapes.digit_indexes(line.text, governed.start, governed.end)) <= _ONE_NUMBER
        )
        return kind in others and own and not governed.doubtful
    label = above(digits[0], digits[-1] + 1)
    return label is not None and label.kind in others


class _AboveByOrder:
    """In plain text: the k-th run under the k-th open label, or the only label over the line."""

    def __init__(self, line: str, previous: str) -> None:
        self._line, self._previous = line, previous
        self._ready = False
        self._by_start: dict[int, Label] = {}
        self._other: Label | None = None

    def __call__(self, start: int, end: int) -> Label | None:  # noqa: ARG002 - an `Above`
        if not self._ready:
            self._ready = True
            self._prepare()
        return self._by_start.get(start, self._other)

    def _prepare(self) -> None:
        labels = LabelledLine(self._previous).open_labels if self._previous else ()
        if not labels:
            return
        line = LabelledLine(self._line)
        for spans in (sorted([*numeric_runs(line.text), *line.masks.spans]), _one_by_one(line)):
            if len(spans) == len(labels):
                self._by_start = {
                    span[0]: label
                    for span, label in zip(spans, labels, strict=True)
                    if len(shapes.digit_indexes(line.text, *span)) <= _ONE_NUMBER
                }
                return
        nines = sum(1 for _ in shapes.nine_in_a_row(line.text)) + len(line.masks.spans)
        for label in labels:
            if label.kind in NINE_DIGIT_KINDS and (label.kind is not Kind.EIN or nines == 1):
                self._other = Label(label.start, label.end, label.kind, generic=True)
                return


def _one_by_one(line: LabelledLine) -> list[tuple[int, int]]:
    """Every number of a line, three-two-four with spaces as one and others parted at spaces."""
    spans = [*line.masks.spans]
    numbers = (*shapes.three_two_four(line.text), *shapes.nine_cells(line.text))
    spans += [(digits[0], digits[-1] + 1) for digits in numbers]
    inside = {place for low, high in spans for place in range(low, high)}
    spans += [span for span in single_runs(line.text) if span[0] not in inside]
    return sorted(set(spans))
