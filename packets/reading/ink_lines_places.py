"""Places of a page that may hold a number which the first reading did not settle.

A place is settled when the finder sees a number there (it will be masked), or
when it is read surely as something else. What is left asks for a second look.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import regex

from packets.identifiers.glyph_lines import PageLine, page_lines
from packets.identifiers.kinds import ALL_KINDS, NINE_DIGIT_KINDS, Kind, MaskPolicy
from packets.identifiers.labels import labels_in
from packets.identifiers.layout import find_on_page
from packets.reading.ocr_glyphs import picture_runs
from packets.reading.records import OcrWord, PictureText

Box = tuple[float, float, float, float]

EVERY_KIND = MaskPolicy(kinds=ALL_KINDS)
_USUAL_KINDS = MaskPolicy()
_SURE = 82.0
_LIKE = "0-9OoQDIlSsBZzGbgq"
_TOKEN = (
    rf"(?=[^\s0-9]*[0-9])[-({{\[]?+[{_LIKE}]++(?:[-.,/~_:;'|]{{1,2}}[{_LIKE}]++)*+[-)\]}},.;:]?+"
)
_CHUNK = regex.compile(rf"(?<!\S){_TOKEN}(?:[ \t|]{{1,3}}{_TOKEN})*+(?!\S)")
_COUNTED = regex.compile(f"[{_LIKE}]")
_GROUP = regex.compile(r"[^ \t|]+")
_FEWEST, _MOST = 7, 12
_ELSE = regex.compile(
    r"[$]? ?[0-9]{1,3}(?:[,.]?[0-9]{3})*[.,][0-9]{2}"
    r"|[0-9]{1,2}[-/.][0-9]{1,2}[-/.](?:19|20)?[0-9]{2}"
    r"|[0-9]{4}[-/.][0-9]{2}[-/.][0-9]{2}|[0-9]{1,3}(?:,[0-9]{3})+"
    r"|(?:1[-. ])?[(]?[0-9]{3}[)]?[-. ][0-9]{3}[-. ][0-9]{4}|[0-9]{5}-[0-9]{4}|[0-9]{4}-[0-9]{4}"
)
"""Amounts, dates, telephone numbers, ZIP+4 and OMB numbers."""
_NEARLY = regex.compile(rf"[{_LIKE}]{{2,4}}[-. ]+[{_LIKE}]{{1,3}}[-. ]+[{_LIKE}]{{3,5}}")
"""Three groups that come near to three, two and four."""
_AROUND = " ()[]{}.,;:"
_PART = regex.compile(
    r"[0-9]{3}-[0-9]{0,2}-?[0-9]{0,3}|(?:[0-9]{0,2}-)?[0-9]{0,2}-(?!19|20)[0-9]{4}"
    r"|[0-9]{2}-[0-9]{3,6}|[0-9]{1,3} [0-9]{2}|[0-9]{2} (?!19|20)[0-9]{4}"
)
"""What may be the head or the tail of a number whose other half was not read."""
_TAIL = regex.compile(r"[^0-9\s](?:[0-9]{0,3}-)?[0-9]{1,2}-(?!19|20)[0-9]{4}(?![0-9])")
"""The end of a number behind something that is no digit, or was not read as one."""
_HALF = regex.compile(
    r"[0-9]{3}-[0-9]{0,2}-?[0-9]{0,3}|(?:[0-9]{0,2}-)?[0-9]{1,2}-(?!19|20)[0-9]{4}|-[0-9]{4}"
)
"""Such a half by itself leaves a doubt when the second look does not find the other."""
_PART_REACH = 7.0
"""How far beyond such a part the other half may stand, in heights."""
_NUMBER_LABELS = (NINE_DIGIT_KINDS - {Kind.EIN}) | {Kind.ACCOUNT}


@dataclass(frozen=True)
class Place:
    """A region of the levelled picture that asks for a second look."""

    box: Box
    by_label: bool = False
    """Beside or below a label that asks for a number."""


@dataclass(frozen=True)
class Reading:
    """A first reading, in levelled boxes, as the finder sees it."""

    words: tuple[OcrWord, ...]
    lines: tuple[PageLine, ...]
    confidence: dict[int, float]
    """By glyph number."""
    settled: frozenset[int]
    """Glyphs of numbers that the finder sees."""


def reading_of(words: Sequence[OcrWord], size: tuple[int, int]) -> Reading:
    """What the finder makes of levelled words."""
    runs = picture_runs(PictureText(tuple(words), 0, *size, 0.0))
    confidence: dict[int, float] = {}
    for word, run in zip(words, runs, strict=True):
        confidence.update(
            dict.fromkeys(range(run.first, run.first + len(run.text)), word.confidence)
        )
    found = find_on_page(runs, (), EVERY_KIND)
    settled = {glyph for match in found for digit in match.digits for glyph in digit}
    return Reading(tuple(words), tuple(page_lines(runs)), confidence, frozenset(settled))


def words_of_numbers(words: Sequence[OcrWord], size: tuple[int, int]) -> set[int]:
    """Places in `words` of those that hold digits of a number that is masked unless kept."""
    text = PictureText(tuple(words), 0, *size, 0.0)
    found = find_on_page(picture_runs(text), (), _USUAL_KINDS)
    glyphs = {glyph for match in found for digit in match.hidden for glyph in digit}
    return {
        at
        for at, (word, run) in enumerate(zip(words, picture_runs(text), strict=True))
        if not glyphs.isdisjoint(range(run.first, run.first + len(word.symbols)))
    }


def digit_places(reading: Reading) -> Iterator[Place]:
    """Chunks of seven to twelve digit-like characters that nothing settles."""
    for line in reading.lines:
        text = line.read.text
        for start, end in _chunks(text):
            if not _is_settled(reading, line, start, end):
                yield Place(_box(line, start, end))
            elif _is_part(reading, line, start, end):
                yield Place(_widened(_box(line, start, end)))
        for start, end in _tails(reading, line):
            yield Place(_widened(_box(line, start, end)))


def _tails(reading: Reading, line: PageLine) -> Iterator[tuple[int, int]]:
    for tail in _TAIL.finditer(line.read.text):
        if not any(n in reading.settled for n in line.read.numbers[slice(*tail.span())]):
            yield tail.span()


def open_digits(reading: Reading) -> bool:
    """Whether some chunk stays that nothing settles, or half of a number without the other."""
    if any(True for line in reading.lines for _ in _tails(reading, line)):
        return True
    return any(
        not _is_settled(reading, line, start, end)
        or (
            _is_part(reading, line, start, end)
            and _HALF.fullmatch(line.read.text[start:end].strip(_AROUND)) is not None
        )
        for line in reading.lines
        for start, end in _chunks(line.read.text)
    )


def label_boxes(reading: Reading) -> Iterator[Box]:
    """The regions right of and below each label that names a taxpayer number or an account."""
    for line in reading.lines:
        read = line.read
        for label in labels_in(read.text):
            if label.kind in _NUMBER_LABELS:
                x0, _, x1, _ = _box(line, label.start, label.end)
                high = line.bottom - line.top
                wide = max(x1 - x0, 12 * high)
                yield (x0 - high, line.top - 0.3 * high, x1 + wide, line.bottom + 3.2 * high)


def is_near(box: Box, regions: Sequence[Box]) -> bool:
    """Whether a box meets any of the regions."""
    return any(box[0] < r[2] and r[0] < box[2] and box[1] < r[3] and r[1] < box[3] for r in regions)


def looks_like_a_number(text: str) -> bool:
    """Whether some reading of a region shows so many digit-like characters in a row."""
    return any(
        _may_be_number(text[start:end]) and not is_something_else(text[start:end])
        for start, end in _chunks(text)
    )


def _chunks(text: str) -> Iterator[tuple[int, int]]:
    """Spans of digit-like groups side by side, parted at amounts, dates and the like."""
    for chunk in _CHUNK.finditer(text):
        start = end = chunk.start()
        for group in _GROUP.finditer(text, chunk.start(), chunk.end()):
            if is_something_else(group.group()):
                if end > start:
                    yield start, end
                yield group.span()
                start = end = group.end()
            else:
                start = start if end > start else group.start()
                end = group.end()
        if end > start:
            yield start, end


def _may_be_number(text: str) -> bool:
    """Whether so many digits, in such groups, may be a number that was read with faults."""
    if not _FEWEST <= _digits(text) <= _MOST:
        return False
    sizes = [size for size in map(_digits, text.split()) if size]
    if len(sizes) == 1 or max(sizes) <= 2:
        return True
    return (
        sizes[0] <= 6
        and 3 <= sizes[-1] <= 5
        and sum(size >= 4 for size in sizes) <= 1 + (sizes[0] in (5, 6) and len(sizes) == 2)
    )


def _is_part(reading: Reading, line: PageLine, start: int, end: int) -> bool:
    """Whether a chunk may be one half of a number; one with a dash at its end surely is."""
    return (
        _PART.fullmatch(line.read.text[start:end].strip(_AROUND)) is not None
        and not is_something_else(line.read.text[start:end])
        and not any(n in reading.settled for n in line.read.numbers[start:end])
    )


def _is_settled(reading: Reading, line: PageLine, start: int, end: int) -> bool:
    text = line.read.text[start:end]
    if not _may_be_number(text):
        return True
    numbers = line.read.numbers[start:end]
    digits = [n for n, char in zip(numbers, text, strict=True) if n >= 0 and char.isdigit()]
    if sum(n in reading.settled for n in digits) >= 0.7 * len(digits):
        return True
    surely = min(reading.confidence[n] for n in numbers if n >= 0) >= _SURE
    return surely and (is_something_else(text) or not _is_nearly(text.strip(_AROUND)))


def _is_nearly(text: str) -> bool:
    """Whether groups come near to three, two and four, perhaps with a gap inside one of them."""
    together = text.replace(" ", "") if "-" in text else text
    return any(_NEARLY.fullmatch(form) is not None for form in (text, together))


def is_something_else(text: str) -> bool:
    """Whether a text by itself is an amount, a date, a telephone number or the like."""
    return _ELSE.fullmatch(text.strip(_AROUND)) is not None


def _widened(box: Box) -> Box:
    reach = _PART_REACH * (box[3] - box[1])
    return box[0] - reach, box[1], box[2] + reach, box[3]


def _digits(text: str) -> int:
    return len(_COUNTED.findall(text))


def _box(line: PageLine, start: int, end: int) -> Box:
    read = line.read
    return (min(read.x0[start:end]), line.top, max(read.x1[start:end]), line.bottom)
