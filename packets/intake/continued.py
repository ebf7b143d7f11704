"""Pages without a title that go with the page before them, and those that do not.

The safer side: a page joins its neighbour only where something says so. A
statement or a second page of a letter does; a blank page, a page with a heading
of its own, and a scan that says nothing stay unknown, and somebody looks.
"""

import re
from dataclasses import dataclass, replace

from packets.base.secret import Secret
from packets.intake.classify import PageGuess
from packets.intake.page_view import LineView, PageView
from packets.intake.title_index import title_index
from packets.intake.titles import known_titles
from packets.reading.records import FirstLook, PageText
from packets.recipe.check_lines import label_letters

_STATEMENT = re.compile(
    r"\b(?:supporting|additional|continuation|attached|federal|overflow)\s+"
    r"(?:statements?|schedules?|details?|information)\b"
    r"|^statements?\b|\bstatements?(?:\s+(?:#\s*)?\d+|\s+(?:attached\s+)?to\b|$)"
    r"|^(?:attachment|explanation)\b|\bcontinued\b(?! on\b)",
    re.IGNORECASE | re.MULTILINE,
)
_CONTINUED = re.compile(r"\bcontinued\b(?! on\b)|\(cont'?d?\.?\)|\bcont'd\b", re.IGNORECASE)
_PROSE_CATEGORIES = frozenset(
    {"letter", "engagement-letter", "consent-disclosure", "consent-use", "bank-product", "invoice"}
    | {"instructions", "organizer", "diagnostic"}
)
_RETURN_PARTS = re.compile(r"(?:form|schedule|state|worksheet|voucher-state|k-1)")
_TOP_LINES = 6
_STATEMENT_WORDS = "a statement behind the form"
_FEWEST_WORDS = 25


@dataclass(frozen=True)
class ReadPage:
    """One page as it was judged alone, with what decides whether it goes on from another."""

    guess: PageGuess
    blank: bool
    read_by: str
    top: tuple[LineView, ...]
    """Its first lines: of thousands of pages all lines would be too many to keep."""
    words: int
    by_ocr: bool
    sure: bool
    look: FirstLook | None
    letters: Secret
    """As labels are compared with them; empty on scans."""


def read_page_of(text: PageText, view: PageView, guess: PageGuess, *, blank: bool) -> ReadPage:
    """What is kept of a page that was read and judged."""
    folded = view.folded
    letters = Secret(label_letters(folded) if text.read_by == "text" else "")
    top, words = view.lines[:_TOP_LINES], len(folded.split())
    return ReadPage(
        guess, blank, text.read_by, top, words, view.by_ocr, view.sure, text.look, letters
    )


def with_continued(pages: tuple[ReadPage, ...]) -> tuple[tuple[PageGuess, bool], ...]:
    """Each page's guess, and whether it was taken from the page before.

    Works on the pages of one file, in order. A page joins the page before it
    only when that one has a category.
    """
    result: list[tuple[PageGuess, bool]] = []
    for page in pages:
        before = result[-1][0] if result else None
        joined = _joined(page, before, result) if before is not None else None
        result.append((joined or page.guess, joined is not None))
    return tuple(result)


def _joined(
    page: ReadPage, before: PageGuess, earlier: list[tuple[PageGuess, bool]]
) -> PageGuess | None:
    guess = page.guess
    if guess.category is not None or page.blank or before.category in (None, "blank"):
        return None
    why, sure = _reason(page, before)
    if why == _STATEMENT_WORDS:
        home = _home_of_statement(page, before, [guess for guess, _ in earlier])
        return replace(home, words=why, form_page=None, heading=False) if home else None
    if not why:
        return None
    return replace(
        before,
        words=why,
        sure=sure and before.sure and page.sure,
        form_page=guess.form_page if _follows(guess, before) else None,
        other_form=before.other_form,
        heading=False,
        contested="",
    )


def _follows(guess: PageGuess, before: PageGuess) -> bool:
    return guess.form_page is not None and guess.form_page == (before.form_page or 1) + 1


def _reason(page: ReadPage, before: PageGuess) -> tuple[str, bool]:
    """Why a page goes with the one before it, and whether that is sure; empty when it does not."""
    guess = page.guess
    if guess.other_form:
        same = before.jurisdiction and guess.other_form == before.other_form
        return ("the same form number as the page before", True) if same else ("", True)
    if _CONTINUED.search(_top(page)):
        return "it says that it continues the page before", not guess.heading
    if _follows(guess, before) and not guess.heading:
        return "its page number follows the page before", True
    # Scans of different papers lie behind one another: there, nothing else counts.
    return ("", True) if page.read_by != "text" else _reason_in_print(page, before)


def _reason_in_print(page: ReadPage, before: PageGuess) -> tuple[str, bool]:
    guess, category = page.guess, before.category or ""
    if _RETURN_PARTS.match(category) and _STATEMENT.search(_top(page)) and not _state_in(page):
        return _STATEMENT_WORDS, True
    prose = page.words >= _FEWEST_WORDS
    unheaded = not guess.heading and guess.form_page is None
    if category in _PROSE_CATEGORIES and prose and unheaded:
        return "running text without a heading of its own", False
    return "", True


def _top(page: ReadPage) -> str:
    return "\n".join(line.words for line in page.top)


def _home_of_statement(
    page: ReadPage, before: PageGuess, earlier: list[PageGuess]
) -> PageGuess | None:
    """The form that a statement belongs to: one it names, else the one before it.

    A statement that names only forms which are not in this file, or several
    that are, has no home that is sure: somebody looks.
    """
    index = title_index(page.by_ocr)
    named = {
        form.category
        for line in page.top
        for match in index.head_pattern.finditer(line.folded)
        if (form := index.heads.get(f"{match[1] or match[2]} {match[3]}"))
    }
    if not named or before.category in named:
        return before
    homes = {guess.category: guess for guess in earlier if guess.category in named}
    return homes.popitem()[1] if len(homes) == 1 else None


def _state_in(page: ReadPage) -> bool:
    """Whether the top of the page holds a state's name: a state form nobody knows."""
    top = " ".join(line.folded for line in page.top)
    return any(f" {name} " in f" {top} " for name, _code in known_titles().states)
