"""A page prepared for looking at titles: tidy words, zones, sizes of type."""

import re
import statistics
import unicodedata
from dataclasses import dataclass

from packets.reading.records import PageText

TOP_ZONE = 0.20
"""A form names itself in this share of the page, from the top."""
EDGE_BAND = 0.10
"""Running titles stand in this share at the top and at the bottom."""
_DASHES = {ord(mark): "-" for mark in "‐‑‒–—―−﹣-"}
_QUOTES = {ord("’"): "'", ord("‘"): "'", ord("´"): "'", ord("“"): '"', ord("”"): '"'}
_MARKS = {**_DASHES, **_QUOTES}
_SPACES = re.compile(r"\s+")
_W_FORMS = re.compile(r"\b([Ww])(?:\s?-\s|\s-\s?|)([249][Gg]?)\b")
_PARENT_FIRST = re.compile(r"\b(schedule) (\(form [^)]{3,12}\)) (\S{1,4})(?!\S)", re.IGNORECASE)
"""The parent form stands below the word and is read before the schedule's letter."""
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

    @property
    def folded(self) -> str:
        """The whole page for comparing, one space between lines."""
        return " ".join(line.folded for line in self.lines)

    def big(self, line: LineView) -> bool:
        """Whether the line stands out by its size."""
        return line.size >= self.body * (1.15 if self.by_ocr else 1.22)


def view_of(page: PageText) -> PageView:
    """Prepare one page."""
    by_ocr = page.read_by == "ocr"
    height = max(page.height, 1.0)
    lines = []
    for line in page.lines:
        words = tidy(line.text, by_ocr=by_ocr)
        if words:
            lines.append(
                LineView(
                    words,
                    fold(words, by_ocr=by_ocr),
                    line.box.y0 / height,
                    line.box.y1 / height,
                    line.size,
                )
            )
    body = statistics.median([line.size for line in lines]) if lines else 0.0
    return PageView(tuple(lines), body, by_ocr, page.sure)


def tidy(text: str, *, by_ocr: bool = False) -> str:
    """Plain dashes, quotes and spaces; `W2` and `W - 2` as `W-2`; on OCR pages `rn` as `m`."""
    plain = text if text.isascii() else unicodedata.normalize("NFKC", text)
    plain = plain.translate(_MARKS)
    plain = _W_FORMS.sub(r"\1-\2", _SPACES.sub(" ", plain).strip())
    plain = _PARENT_FIRST.sub(r"\1 \3 \2", plain)
    return plain.replace("rn", "m") if by_ocr else plain


def fold(words: str, *, by_ocr: bool = False) -> str:
    """Small letters of the same length; on OCR pages look-alikes become one character."""
    small = words.lower()
    if len(small) != len(words):  # a few letters grow when they become small
        small = "".join(mark.lower() if len(mark.lower()) == 1 else mark for mark in words)
    return small.translate(_CONFUSED) if by_ocr else small


def folded_data(words: str, *, by_ocr: bool) -> str:
    """Words of `titles.toml` brought to the same form as a page's."""
    return fold(tidy(words, by_ocr=by_ocr), by_ocr=by_ocr)
