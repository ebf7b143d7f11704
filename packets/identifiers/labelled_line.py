"""One folded line with its labels, its masks, and which label speaks of which run."""

from bisect import bisect_left, bisect_right
from dataclasses import dataclass
from functools import cached_property

from packets.identifiers.already_masked import Masks
from packets.identifiers.kinds import NINE_DIGIT_KINDS, Kind
from packets.identifiers.labelled import governed_span
from packets.identifiers.labels import Label, labels_in
from packets.identifiers.shapes import digit_indexes

_MANY = 5
"""With fewer digits a run may be a page or box number in the caption: the label stays open."""


@dataclass(frozen=True, slots=True)
class Governed:
    """A run and the label on its line that speaks of it."""

    start: int
    end: int
    label: Label
    doubtful: bool
    """A label before this one names a personal number and has none of its own."""
    same_cell: bool
    """No cell border stands between the label and the run."""


class LabelledLine:
    """A line as the rules read it. Indexes are those of the line it was made from."""

    def __init__(self, line: str) -> None:
        self._printed = line
        self.masks = Masks(line)
        self.text = self.masks.without_digits() if self.masks.spans else line
        """The line; digits that a mask left to be seen are unreadable."""

    @cached_property
    def labels(self) -> tuple[Label, ...]:
        """Every label, left to right."""
        return labels_in(self._printed)

    @cached_property
    def _label_starts(self) -> list[int]:
        return [*(label.start for label in self.labels), len(self.text)]

    def next_label(self, at: int) -> int:
        """Where the first label at or after an index starts, or the end of the line."""
        return self._label_starts[bisect_left(self._label_starts, min(at, len(self.text)))]

    @cached_property
    def limits(self) -> tuple[int, ...]:
        """For each label, where what it speaks of ends: at the next label, or at a mask."""
        return tuple(
            self.masks.answer(label.end, start, pin=label.kind is Kind.IP_PIN)
            for label, start in zip(self.labels, self._label_starts[1:], strict=True)
        )

    @cached_property
    def _governed(self) -> tuple[Governed | None, ...]:
        found: list[Governed | None] = []
        for at, (label, limit) in enumerate(zip(self.labels, self.limits, strict=True)):
            span = governed_span(self.text, label, limit)
            if span is None:
                found.append(None)
                continue
            between = self.text[label.end : span[0]]
            doubtful = bool(at) and found[at - 1] is None and self._may_mean(at - 1, between)
            found.append(Governed(*span, label, doubtful, "\t" not in between))
        return tuple(found)

    def _may_mean(self, at: int, between: str) -> bool:
        """Whether label `at` may speak of a run that words part from the label after it."""
        label, after = self.labels[at], self.labels[at + 1]
        return (
            label.kind in NINE_DIGIT_KINDS - {Kind.EIN}
            and self.limits[at] == after.start
            and any(map(str.isalnum, between))
            and "\t" not in self.text[label.end : after.start] + between
        )

    @cached_property
    def _by_start(self) -> list[Governed]:
        return [governed for governed in self._governed if governed]

    @cached_property
    def _starts(self) -> list[int]:
        return [governed.start for governed in self._by_start]

    def governing(self, at: int) -> Governed | None:
        """What governs the run around index `at`, if a label on this line does."""
        place = bisect_right(self._starts, at) - 1
        governed = self._by_start[place] if place >= 0 else None
        return governed if governed is not None and at < governed.end else None

    @cached_property
    def open_labels(self) -> tuple[Label, ...]:
        """Labels that speak of nothing on their own line: what they name stands below."""
        rows = zip(self.labels, self.limits, self._label_starts[1:], self._governed, strict=True)
        return tuple(
            label
            for label, limit, next_start, governed in rows
            if limit == next_start and not self._is_answered(governed)
        )

    def _is_answered(self, governed: Governed | None) -> bool:
        if governed is None:
            return False
        return len(digit_indexes(self.text, governed.start, governed.end)) >= _MANY
