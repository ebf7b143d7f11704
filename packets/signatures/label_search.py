"""Finding a label among the letters of a page, whatever its font, spacing and scale."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from reportlab.pdfbase.pdfmetrics import stringWidth

from packets.recipe.check_lines import MORE, STACK, label_letters
from packets.signatures.page_letters import Letter, Reading

GAP = 0.9
"""A space wider than this share of the type size parts one label from the next."""
MEASURE = "Helvetica"
LEAST_SCALE, MOST_SCALE = 0.4, 2.5


@dataclass(frozen=True)
class Label:
    """A label that was found, on the upright page; points, origin upper left."""

    words: str
    """As the rule has it."""
    x0: float
    x1: float
    top: float
    foot: float
    """Base line of its last row."""
    size: float
    """Height of its type."""
    letters: float
    """Width of its last row."""

    def scale(self, type_size: float) -> float:
        """How large it is printed, against a form in its own size with labels of that type."""
        row = self.words.removesuffix(MORE).split(STACK)[-1].strip()
        expected: float = stringWidth(row, MEASURE, type_size)
        return min(MOST_SCALE, max(LEAST_SCALE, self.letters / expected))


def find_labels(reading: Reading, wanted: Iterable[str]) -> Iterator[Label]:
    """Every place where one of the labels stands by itself, longer labels first."""
    taken: set[tuple[float, float]] = set()
    for words in sorted(wanted, key=len, reverse=True):
        for label in _places(reading, words):
            at = (round(label.x0, 1), round(label.top, 1))
            if at not in taken:
                taken.add(at)
                yield label


def heights_of(reading: Reading, wanted: Sequence[str]) -> list[float]:
    """Base lines of the rows in which any of these words stand, alone or inside a sentence."""
    letters = [label_letters(words) for words in wanted]
    return [
        row[0].foot
        for row, shown in zip(reading.rows, reading.texts, strict=True)
        if any(words in shown.text for words in letters)
    ]


def _places(reading: Reading, words: str) -> Iterator[Label]:
    goes_on = words.endswith(MORE)
    first, *others = [label_letters(row) for row in words.removesuffix(MORE).split(STACK)]
    for at in range(len(reading.rows)):
        for x0, x1, top, foot, size in _in_row(reading, at, first, goes_on and not others):
            label = Label(words, x0, x1, top, foot, size, x1 - x0)
            for below in others:
                lower = _row_below(reading, at + 1, below, label, goes_on=goes_on)
                if lower is None:
                    break
                label = lower
            else:
                yield label


def _row_below(
    reading: Reading, start: int, words: str, label: Label, *, goes_on: bool
) -> Label | None:
    for at in range(start, len(reading.rows)):
        if reading.rows[at][0].foot > label.foot + 2.2 * label.size:
            return None
        for x0, x1, _, foot, size in _in_row(reading, at, words, goes_on):
            if abs(x0 - label.x0) <= label.size:
                return Label(
                    label.words, label.x0, max(x1, label.x1), label.top, foot, size, x1 - x0
                )
    return None


def _in_row(
    reading: Reading, at: int, words: str, goes_on: bool
) -> Iterator[tuple[float, float, float, float, float]]:
    """Left, right, top, foot and type size of each place of these letters in a row."""
    row, (text, marks) = reading.rows[at], reading.texts[at]
    start = text.find(words)
    while start >= 0:
        end = start + len(words)
        first, last = marks[start], marks[end - 1]
        if _begins(row, first) and (goes_on or _ends(row, last)):
            found = row[first : last + 1]
            yield (
                found[0].x0,
                max(letter.x1 for letter in found),
                min(letter.top for letter in found),
                found[0].foot,
                max(letter.size for letter in found),
            )
        start = text.find(words, start + 1)


def _begins(row: Sequence[Letter], at: int) -> bool:
    if at == 0:
        return True
    before, letter = row[at - 1], row[at]
    return not before.text.isalnum() or letter.x0 - before.x1 > GAP * letter.size


def _ends(row: Sequence[Letter], at: int) -> bool:
    if at + 1 == len(row):
        return True
    letter, after = row[at], row[at + 1]
    if after.x0 - letter.x1 > GAP * letter.size:
        return True
    if after.text.isalnum():
        return False
    # Behind punctuation the print may go on only after a gap: else it is a sentence.
    return (
        at + 2 == len(row)
        or not row[at + 2].text.isalnum()
        or (row[at + 2].x0 - after.x1 > GAP * letter.size)
    )
