"""A page prepared for looking at titles: tidy words, zones, sizes of type."""

import re
import statistics
import unicodedata
from dataclasses import dataclass
from functools import cached_property, lru_cache

from packets.reading.records import PageText

TOP_ZONE = 0.20
"""A form names itself in this share of the page, from the top."""
EDGE_BAND = 0.10
"""Running titles stand in this share at the top and at the bottom."""
_DASHES = {ord(mark): "-" for mark in "‐‑‒–—―−﹣-"}
_QUOTES = {ord("’"): "'", ord("‘"): "'", ord("´"): "'", ord("“"): '"', ord("”"): '"'}
_MARKS = {**_DASHES, **_QUOTES}
_W_FORMS = re.compile(r"\b([Ww])(?:\s?-\s|\s-\s?|)([249][Gg]?)\b")
_PARENT_FIRST = re.compile(r"\b(schedule) (\(form [^)]{3,12}\)) (\S{1,4})(?!\S)", re.IGNORECASE)
"""The parent form stands below the word and is read before the schedule's letter."""
_PARENT_BELOW = "schedule (form "
_CONFUSED = str.maketrans({"o": "0", "q": "0", "l": "1", "i": "1", "|": "1", "!": "1", "s": "5"})
"""Characters that OCR takes for one another, brought to one of them."""


@dataclass(frozen=True)
class LineView:
    """One printed line in tidy words."""

    words: str
    """Case as printed; dashes, quotes and spaces made plain."""
    folded: str
    """For comparing: small letters, and on OCR pages look-alikes made the same."""
    top: float
    bottom: float
    """Share of the page's height, 0 at the top."""
    size: float

    @property
    def in_top_zone(self) -> bool:
        return self.top <= TOP_ZONE

    @property
    def at_edge(self) -> bool:
        return self.top <= EDGE_BAND or self.bottom >= 1 - EDGE_BAND


@dataclass(frozen=True)
class PageView:
    """All lines of a page, with the usual size of its type."""

    lines: tuple[LineView, ...]
    body: float
    """Middle size of type on the page, points."""
    by_ocr: bool
    sure: bool

    @cached_property
    def folded(self) -> str:
        """The whole page for comparing, one space between lines."""
        return " ".join(line.folded for line in self.lines)

    @cached_property
    def folded_lines(self) -> str:
        """The whole page for comparing, each line on its own; a line break before the first."""
        return "".join(f"\n{line.folded}" for line in self.lines)

    @cached_property
    def folded_words(self) -> frozenset[str]:
        """What stands between spaces, each once."""
        return frozenset(self.folded.split(" "))

    def big(self, line: LineView) -> bool:
        """Whether the line stands out by its size."""
        return line.size >= self.body * (1.15 if self.by_ocr else 1.22)


def view_of(page: PageText) -> PageView:
    """Prepare one page."""
    by_ocr = page.read_by == "ocr"
    height = max(page.height, 1.0)
    words = tidy("\n".join(line.text for line in page.lines), by_ocr=by_ocr).split("\n")
    folded = fold("\n".join(words), by_ocr=by_ocr).split("\n")
    lines = [
        LineView(shown, small, line.box.y0 / height, line.box.y1 / height, line.size)
        for line, shown, small in zip(page.lines, words, folded, strict=bool(page.lines))
        if shown
    ]
    body = statistics.median([line.size for line in lines]) if lines else 0.0
    return PageView(tuple(lines), body, by_ocr, page.sure)


def tidy(text: str, *, by_ocr: bool = False) -> str:
    """Plain dashes, quotes and spaces; `W2` and `W - 2` as `W-2`; on OCR pages `rn` as `m`.

    Every line of `text` by itself.
    """
    plain = text if text.isascii() else unicodedata.normalize("NFKC", text)
    plain = plain.translate(_MARKS)
    if _has_odd_spaces(plain):
        plain = "\n".join(" ".join(line.split()) for line in plain.split("\n"))
    # What holds no such word as a whole holds none in any of its lines.
    if _W_FORMS.search(plain):
        plain = "\n".join(_W_FORMS.sub(r"\1-\2", line) for line in plain.split("\n"))
    if _PARENT_BELOW in plain.lower():
        plain = "\n".join(_PARENT_FIRST.sub(r"\1 \3 \2", line) for line in plain.split("\n"))
    return plain.replace("rn", "m") if by_ocr else plain


def _has_odd_spaces(text: str) -> bool:
    return (
        any(odd in text for odd in ("  ", " \n", "\n "))
        or text != text.strip(" ")
        or not text.replace("\n", "").isprintable()
    )


def fold(words: str, *, by_ocr: bool = False) -> str:
    """Small letters of the same length; on OCR pages look-alikes become one character."""
    small = words.lower()
    if len(small) != len(words):  # a few letters grow when they become small
        small = "".join(mark.lower() if len(mark.lower()) == 1 else mark for mark in words)
    return small.translate(_CONFUSED) if by_ocr else small


@lru_cache(maxsize=4096)
def folded_data(words: str, *, by_ocr: bool) -> str:
    """Words of `titles.toml` brought to the same form as a page's."""
    return fold(tidy(words, by_ocr=by_ocr), by_ocr=by_ocr)
