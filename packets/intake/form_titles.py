"""Official titles, deciding sentences and labels on a page."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

import regex

from packets.intake.page_view import LineView, PageView
from packets.intake.title_index import Phrase, TitleIndex, standing_on
from packets.intake.titles import KnownTitle

_SMALL_WORDS = frozenset({"a", "an", "and", "for", "from", "in", "of", "on", "or", "the", "to"})
_WORD = re.compile(r"[^\W\d_]+(?:-[^\W\d_]+)*")
_MOST_PROSE_BEFORE = 2
_PROSE_AFTER = re.compile(
    r"\s*[,;:.]\s+[a-z]|\s+(?!for\b|to\b|of\b|by\b|from\b|and\b|or\b)[a-z]{2,}"
)
"""A heading is not followed by the rest of a sentence."""
_NEARLY_ALL = 0.8
_HALF = 0.5
_FIFTH = 0.2
_SHORT_LINE = 60


@dataclass(frozen=True)
class TitleMark:
    """One sign that speaks for a form."""

    form: KnownTitle
    kind: str
    """`title`, `sentence`, `opening` or `label`."""
    weight: float
    line: LineView | None = None
    words: str = ""
    """Words of ours that were found."""


def title_marks(view: PageView, index: TitleIndex) -> Iterator[TitleMark]:
    """Official titles: the longest on a line wins over those inside it."""
    # OCR may have spoilt a title, so there each one is looked for with tolerance.
    names = index.names if index.by_ocr else standing_on(view, index.names)
    for line in view.lines if names else ():
        taken: list[tuple[int, int]] = []
        sheet = index.worksheet in line.folded
        for phrase in names:
            if sheet and phrase.form.heads:
                continue  # a worksheet names the form it serves
            span = _place_in(line, phrase, index)
            if span is None or any(span[0] < end and start < span[1] for start, end in taken):
                continue
            taken.append(span)
            weight = _title_weight(view, line, span)
            if weight:
                yield TitleMark(phrase.form, "title", weight, line, phrase.words)


def _place_in(line: LineView, phrase: Phrase, index: TitleIndex) -> tuple[int, int] | None:
    at = line.folded.find(phrase.words)
    if at >= 0:
        return at, at + len(phrase.words)
    if not index.by_ocr or not line.in_top_zone or len(phrase.words) < 14:
        return None
    known = set(phrase.words.split())
    if len(known & set(line.folded.split())) * 2 < len(known):
        return None
    most = max(1, len(phrase.words) // 12)
    found = regex.search(f"(?b)(?:{regex.escape(phrase.words)}){{e<={most}}}", line.folded)
    return found.span() if found else None


def _title_weight(view: PageView, line: LineView, span: tuple[int, int]) -> float:
    """How much a title counts: by its place, its size, and whether prose stands around it."""
    if _in_sentence(view, line, span):
        return 0.0
    big, share = view.big(line), (span[1] - span[0]) / len(line.words)
    if line.in_top_zone and (big or share >= _HALF):
        words = line.words[span[0] : span[1]]
        alone = " " in words or share >= _HALF or len(line.words) <= _SHORT_LINE
        return (4.0 if big else 3.0) if alone else 2.5
    if line.in_top_zone:
        return 2.0
    if big and share >= _FIFTH:
        return 3.0
    return 1.0 if share >= _NEARLY_ALL else 0.0


def _in_sentence(view: PageView, line: LineView, span: tuple[int, int]) -> bool:
    """Whether the words are part of running text rather than a title."""
    words, before, after = (
        line.words[span[0] : span[1]],
        line.words[: span[0]],
        line.words[span[1] :],
    )
    if before[-1:].isalnum() or after[:1].isalnum():
        return True
    if not _capitalised(words, by_ocr=view.by_ocr) or _prose_before(before):
        return True
    # Beside a large heading stands another column; beside small words, their sentence.
    return not view.big(line) and bool(_PROSE_AFTER.match(after))


def _capitalised(words: str, *, by_ocr: bool) -> bool:
    """Whether every word that matters begins with a capital, as titles do.

    OCR takes a capital I for a small L.
    """
    return all(
        word[0].isupper() or word[0].isdigit() or (by_ocr and word[0] == "l")
        for word in _WORD.findall(words)
        if word.lower() not in _SMALL_WORDS and len(word) > 3 and not word.startswith("e-")
    )


def _prose_before(words: str) -> bool:
    small = [word for word in _WORD.findall(words) if word[0].islower()]
    return len(small) > _MOST_PROSE_BEFORE or words.rstrip().endswith((",", ";"))


def sentence_marks(view: PageView, index: TitleIndex) -> Iterator[TitleMark]:
    """Sentences that decide alone, labels that support, and the words lines begin with."""
    for phrase in standing_on(view, index.marks):
        yield TitleMark(phrase.form, "sentence", 5.0, words=phrase.words)
    for phrase in standing_on(view, index.cues):
        yield TitleMark(phrase.form, "label", 0.75, words=phrase.words)
    for phrase in index.openings:
        if f"\n{phrase.words}" in view.folded_lines:
            yield TitleMark(phrase.form, "opening", 2.5, words=phrase.words)
