"""Pages without a title that go with the page before them, and those that do not.

The safer side: a page joins its neighbour only where something says so. A
statement or a second page of a letter does; a blank page, a page with a heading
of its own, and a scan that says nothing stay unknown, and somebody looks.
"""

import re
from dataclasses import dataclass, replace

from packets.intake.classify import PageGuess
from packets.intake.page_view import LineView, PageView
from packets.intake.titles import known_titles

_STATEMENT = re.compile(
    r"\b(?:supporting|additional|continuation|attached)?\s*(?:statements?|schedules?|details?"
    r"|explanation|attachment|information)\b|\bcontinued\b|\bcont'd\b",
    re.IGNORECASE,
)
_CONTINUED = re.compile(r"\bcontinued\b|\(cont'?d?\.?\)|\bcont'd\b", re.IGNORECASE)
_PROSE_CATEGORIES = frozenset(
    {"letter", "engagement-letter", "consent-disclosure", "consent-use", "bank-product", "invoice"}
    | {"instructions", "organizer", "diagnostic"}
)
_RETURN_PARTS = re.compile(r"(?:form|schedule|state|worksheet|voucher-state|k-1)")
_EDGE_LINES = 6
_FEWEST_WORDS = 25


@dataclass(frozen=True)
class ReadPage:
    """One page as it was judged alone, with its prepared lines."""

    guess: PageGuess
    view: PageView
    blank: bool
    read_by: str


def with_continued(pages: tuple[ReadPage, ...]) -> tuple[tuple[PageGuess, bool], ...]:
    """Each page's guess, and whether it was taken from the page before.

    Works on the pages of one file, in order. A page joins the page before it
    only when that one has a category.
    """
    result: list[tuple[PageGuess, bool]] = []
    for page in pages:
        before = result[-1][0] if result else None
        joined = _joined(page, before) if before is not None else None
        result.append((joined or page.guess, joined is not None))
    return tuple(result)


def _joined(page: ReadPage, before: PageGuess) -> PageGuess | None:
    guess = page.guess
    if guess.category is not None or page.blank or before.category in (None, "blank"):
        return None
    why, sure = _reason(page, before)
    if not why:
        return None
    return replace(
        before,
        words=why,
        sure=sure and page.view.sure,
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
    if _CONTINUED.search(" ".join(line.words for line in _edges(page.view))):
        return "it says that it continues the page before", True
    if _follows(guess, before) and not guess.heading:
        return "its page number follows the page before", True
    # Scans of different papers lie behind one another: there, nothing else counts.
    return ("", True) if page.read_by != "text" else _reason_in_print(page, before)


def _reason_in_print(page: ReadPage, before: PageGuess) -> tuple[str, bool]:
    guess, category = page.guess, before.category or ""
    top = " ".join(line.words for line in page.view.lines[:_EDGE_LINES])
    if _RETURN_PARTS.match(category) and _STATEMENT.search(top) and not _names_another(page):
        return "a statement behind the form", True
    prose = len(page.view.folded.split()) >= _FEWEST_WORDS
    unheaded = not guess.heading and guess.form_page is None
    if category in _PROSE_CATEGORIES and prose and unheaded:
        return "running text without a heading of its own", False
    return "", True


def _edges(view: PageView) -> tuple[LineView, ...]:
    return (*view.lines[:_EDGE_LINES], *view.lines[-2:])


def _names_another(page: ReadPage) -> bool:
    """Whether the top of the page holds a state's name: a state form nobody knows."""
    top = " ".join(line.folded for line in page.view.lines[:_EDGE_LINES])
    return any(f" {name} " in f" {top} " for name, _code in known_titles().states)
