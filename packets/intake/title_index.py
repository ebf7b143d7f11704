"""The words of `titles.toml` prepared for comparing, once for print and once for OCR."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Self

from packets.intake.page_view import PageView, folded_data
from packets.intake.titles import KnownTitle, known_titles


@dataclass(frozen=True)
class Phrase:
    """Words to look for and the form they speak for."""

    words: str
    form: KnownTitle
    inside: str
    """The longest word with a space on either side: a page without it does not hold the phrase."""

    @classmethod
    def of(cls, words: str, form: KnownTitle) -> Self:
        """With the word that is looked for first."""
        return cls(words, form, max(words.split(" ")[1:-1], key=len, default=""))


def standing_on(view: PageView, phrases: Sequence[Phrase]) -> list[Phrase]:
    """Those whose words are on the page, in one line or running on from one to the next."""
    page, words = view.folded, view.folded_words
    return [it for it in phrases if (not it.inside or it.inside in words) and it.words in page]


@dataclass(frozen=True)
class TitleIndex:
    """Everything to look for on a page of one kind."""

    by_ocr: bool
    heads: dict[str, KnownTitle]
    head_pattern: re.Pattern[str]
    names: tuple[Phrase, ...]
    """Longest first."""
    marks: tuple[Phrase, ...]
    cues: tuple[Phrase, ...]
    openings: tuple[Phrase, ...]
    needs: dict[str, tuple[str, ...]]
    worksheet: str
    instructions: str

    def folded(self, words: str) -> str:
        """Words of ours in the form of this index."""
        return folded_data(words, by_ocr=self.by_ocr)


@cache
def title_index(by_ocr: bool) -> TitleIndex:
    """The index for printed text, or for text that OCR read."""

    def folded(words: str) -> str:
        kept = words.rstrip(" ")
        return folded_data(kept, by_ocr=by_ocr) + words[len(kept) :]

    forms = known_titles().forms

    def phrases(key: str) -> tuple[Phrase, ...]:
        found = [Phrase.of(folded(words), form) for form in forms for words in getattr(form, key)]
        return tuple(sorted(found, key=lambda phrase: -len(phrase.words)))

    form_word, schedule_word = folded("form"), folded("schedule")
    number = r"[a-z0-9]+(?:-[a-z0-9]+)*"
    pattern = re.compile(
        rf"(?<![a-z0-9])(?:({form_word})\s*|({schedule_word})\s+)({number})"
        rf"(?:\s*\(\s*{form_word}\s*({number})[^)]*\)?)?"
    )
    return TitleIndex(
        by_ocr,
        {folded(head): form for form in forms for head in form.heads},
        pattern,
        phrases("names"),
        phrases("marks"),
        phrases("cues"),
        phrases("openings"),
        {form.category: tuple(folded(need) for need in form.needs) for form in forms},
        folded("worksheet"),
        folded("instructions"),
    )
