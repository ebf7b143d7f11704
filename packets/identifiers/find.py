"""Find taxpayer numbers in a text: known ones, labelled ones, shaped ones, and bare runs.

Rules (design of the house): a known number goes in every written form; a shape
goes whether or not its range is valid; a bare run of nine digits that no label
explains goes too; a run that its label explains as something else stays.
"""

from collections.abc import Callable, Iterator, Sequence

from packets.identifiers import shapes
from packets.identifiers.digits import fold
from packets.identifiers.kinds import NINE_DIGIT_KINDS, Kind, KnownNumber, MaskPolicy
from packets.identifiers.known_digits import hunt
from packets.identifiers.labelled import governed_span, next_label, numeric_runs, runs_after
from packets.identifiers.labels import Label, labels_in
from packets.identifiers.ranges import personal_kind
from packets.identifiers.records import Sureness, TextMatch

Above = Callable[[int, int], Label | None]
"""Given a span of a line, the label that stands above it, if any."""
Explains = Callable[[tuple[int, ...]], bool]


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
        for match in find_in_line(line, _above_by_order(line, previous)):
            matches.append(shifted(match, start))
        start += len(line) + 1
        previous = line if line.strip() else previous
    return tuple(
        TextMatch(m.kind, tuple(folded.index[i] for i in m.digits), m.sureness, m.given)
        for m in decide(matches, policy)
    )


def find_in_line(line: str, above: Above) -> Iterator[TextMatch]:
    """Numbers of every kind in one folded line, without the known ones."""
    if not any(char in "0123456789" for char in line):
        return
    labels = labels_in(line)
    governed = _governed(line, labels)
    yield from _labelled(line, labels)
    yield from _by_label_above(line, labels, governed, above)
    for digits in shapes.three_two_four(line):
        yield _nine(line, digits, Sureness.SHAPE)
    for digits in shapes.two_seven(line):
        yield TextMatch(Kind.EIN, digits, Sureness.SHAPE)
    explained = _explains(governed, above)
    for digits in shapes.cards(line):
        if not explained(digits):
            yield TextMatch(Kind.CARD, digits, Sureness.SHAPE)
    for digits in (*shapes.nine_in_a_row(line), *shapes.nine_cells(line)):
        if not explained(digits):
            yield _nine(line, digits, Sureness.BARE_RUN)


def broken_over_lines(text: str) -> Iterator[TextMatch]:
    """Three-two-four shapes whose dash is followed by a line end."""
    for digits in shapes.three_two_four(text):
        if "\n" in text[digits[0] : digits[-1]]:
            yield _nine(text, digits, Sureness.SHAPE)


def decide(matches: Sequence[TextMatch], policy: MaskPolicy) -> tuple[TextMatch, ...]:
    """Of matches that share digits keep the surest, then the longest; then apply the policy.

    A known number of a kind that stays (an employer's EIN) explains nothing
    away: it is dropped first, so that what its place looks like still counts.
    """
    candidates = [
        m
        for m in matches
        if m.sureness is not Sureness.KNOWN or policy.masks(m.kind, given=m.given)
    ]
    taken: set[int] = set()
    kept: list[TextMatch] = []
    for match in sorted(candidates, key=lambda m: (-m.sureness, -len(m.digits), m.digits)):
        if taken.isdisjoint(match.digits):
            taken.update(match.digits)
            if policy.masks(match.kind, given=match.given):
                kept.append(match)
    return tuple(sorted(kept, key=lambda m: m.digits))


def shifted(match: TextMatch, by: int) -> TextMatch:
    """The same match with its indexes moved on by `by`."""
    if not by:
        return match
    return TextMatch(match.kind, tuple(i + by for i in match.digits), match.sureness, match.given)


def _governed(line: str, labels: Sequence[Label]) -> list[tuple[int, int, Label]]:
    spans = []
    for label in labels:
        span = governed_span(line, label, next_label(label, labels, line))
        if span:
            spans.append((*span, label))
    return spans


def _labelled(line: str, labels: Sequence[Label]) -> Iterator[TextMatch]:
    for label in labels:
        if label.kind is not None:
            limit = next_label(label, labels, line)
            for digits in runs_after(line, label.end, limit, label.kind):
                yield _named(line, digits, label)


def _by_label_above(
    line: str, labels: Sequence[Label], governed: list[tuple[int, int, Label]], above: Above
) -> Iterator[TextMatch]:
    for start, end in numeric_runs(line):
        if any(low <= start < high for low, high, _ in governed):
            continue
        label = above(start, end)
        if label is not None and label.kind is not None:
            limit = min((other.start for other in labels if other.start >= end), default=len(line))
            for digits in runs_after(line, start, limit, label.kind):
                if digits[0] <= end:
                    yield _named(line, digits, label)


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
    written = "".join(line[i] if i in digits else " " for i in range(digits[0], digits[-1] + 1))
    return written.split()


def _nine(text: str, digits: tuple[int, ...], sureness: Sureness) -> TextMatch:
    return TextMatch(personal_kind("".join(text[i] for i in digits)), digits, sureness)


def _explains(governed: list[tuple[int, int, Label]], above: Above) -> Explains:
    """Whether a label says that a run is something else, or an employer's number."""

    def explained(digits: tuple[int, ...]) -> bool:
        label = next((lb for low, high, lb in governed if low <= digits[0] < high), None)
        if label is None:
            label = above(digits[0], digits[-1] + 1)
        return label is not None and label.kind in (None, Kind.EIN)

    return explained


def _above_by_order(line: str, previous: str) -> Above:
    """In plain text: the k-th run under the k-th label, or the only label over the only run."""
    labels = labels_in(previous) if previous else ()
    spans = list(numeric_runs(line)) if labels else []

    def above(start: int, end: int) -> Label | None:
        if len(labels) == len(spans):
            for span, label in zip(spans, labels, strict=True):
                if span[0] <= start < span[1] or start <= span[0] < end:
                    return label
        return next((label for label in labels if label.kind in NINE_DIGIT_KINDS), None)

    return above
