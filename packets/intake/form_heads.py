"""Where a page calls itself by a form's number, and where it merely speaks of a form."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from packets.intake.page_view import LineView, PageView
from packets.intake.title_index import TitleIndex
from packets.intake.titles import KnownTitle

_REFERS = re.compile(
    r"(?:\b(?:a|an|and|any|attach|by|complete|each|every|file|filed|filing|follow|for|from|his|if|"
    r"in|into|its|my|of|on|or|other|our|prior|see|send|sending|separate|that|the|their|this|to|"
    r"under|use|using|with|www|your|line|lines|forms?|schedules?|both|only|also|amended|attached|"
    r"enclosed|download|print|get|than|not)\s*|[(/,&]\s*)$",
    re.IGNORECASE,
)
"""A form's number after one of these is a mention, not a name."""
_YEAR_OR_EDITION = re.compile(
    r"\s*(?:\(\s*form[^)]*\)\s*)?(?:\(?(?P<year>(?:19|20)[0-9]{2})\)?|\(\s*rev[^)]*\)"
    r"|\(\s*[0-9]{1,2}-(?:19|20)[0-9]{2}\))(?P<tail>.*)",
    re.IGNORECASE,
)
_LONGEST_TAIL = 100
_MOST_PROSE = 3
_SMALL = re.compile(r"(?<![^\W\d_])[a-z]{2,}")
_PROSE = re.compile(r"(?:[^\S\n]*[.,;:](?!\S*\d)|\s+[a-z]|-[a-z]{3,})")
_PROPER_PARENT = "1040"
_SHORT_NUMBER = re.compile(r"[A-Z]{0,3}-?[0-9]{1,4}(?:-?[A-Z]{1,4})?|[A-Z]{1,2}|[A-Z]-[0-9]")
_LARGE = 14.0


@dataclass(frozen=True)
class HeadMark:
    """One place where a page calls itself by a number."""

    form: KnownTitle | None
    """None for a form that is not known here."""
    shown: str
    """`Form 5329`: only for forms that are not known."""
    running: bool
    """Followed by its year or edition at the edge of the page: a running title."""
    year: int | None
    weight: float
    line: LineView


def head_marks(view: PageView, index: TitleIndex) -> Iterator[HeadMark]:
    """Every place where the page calls itself by a form's number."""
    for place, line in enumerate(view.lines):
        big = view.big(line) and line.size >= _LARGE
        if not (line.in_top_zone or line.at_edge or big):
            continue
        if index.worksheet in line.folded:
            continue  # a worksheet names the form it serves
        for match in index.head_pattern.finditer(line.folded):
            mark = _judged(view, index, place, match, big=big)
            if mark is not None:
                yield mark
        bare = _bare_number(line, index) if big else None
        if bare is not None:
            yield HeadMark(bare, "", running=False, year=None, weight=3.0, line=line)


def _judged(
    view: PageView, index: TitleIndex, place: int, match: re.Match[str], *, big: bool
) -> HeadMark | None:
    line = view.lines[place]
    word, number, parent = match[1] or match[2], match[3], match[4]
    form, usable = _form_of(view, index, place, (word, number, parent))
    shown = "" if form else _shown(line.words, match)
    before = line.words[: match.start()]
    if place and not (before or big):
        before = f"{view.lines[place - 1].words} "  # a sentence may run on from the line above
    if not usable or not (form or shown) or _REFERS.search(before):
        return None
    edition = _YEAR_OR_EDITION.match(line.words[match.end(3) :])
    if edition and line.at_edge and _is_tail(edition["tail"]):
        year = int(edition["year"]) if edition["year"] else None
        return HeadMark(form, shown, running=True, year=year, weight=5.0, line=line)
    weight = _heading_weight(line, index, match, big=big)
    if not weight:
        return None
    return HeadMark(form, shown, running=False, year=None, weight=weight, line=line)


def _is_tail(words: str) -> bool:
    """Whether this may follow a running title: a name and a page number, no sentence."""
    return len(words) <= _LONGEST_TAIL and len(_SMALL.findall(words)) <= _MOST_PROSE


def _heading_weight(line: LineView, index: TitleIndex, match: re.Match[str], *, big: bool) -> float:
    """How much a number counts as a heading; 0 where it stands in a sentence."""
    before, after = line.words[: match.start()], line.words[match.end() :]
    if _PROSE.match(after) or index.instructions in line.folded[match.end() : match.end() + 16]:
        return 0.0
    starts = match.start() <= 2
    if not big:
        again = index.head_pattern.search(line.folded, match.end())
        if again or len(_SMALL.findall(after)) > _MOST_PROSE:
            return 0.0
    if not line.in_top_zone:
        return 3.0 if big and starts else 0.0
    if starts or (big and match.start() < 24) or len(line.words) <= 32:
        return 4.0 if big else 3.0
    # On payers' forms the line begins with the payer's address, and may end with a title.
    return 3.0 if len(_SMALL.findall(before + after)) <= _MOST_PROSE else 0.0


def _form_of(
    view: PageView, index: TitleIndex, place: int, named: tuple[str, str, str | None]
) -> tuple[KnownTitle | None, bool]:
    """The form of a number, and whether the mention counts at all.

    A schedule belongs to its parent form: Schedule D of Form 1065 is not
    Schedule D of Form 1040. The parent may stand a line or two below.
    """
    word, number, parent = named
    if word == index.folded("form"):
        return index.heads.get(f"{word} {number}"), True
    if parent is None:
        parent = _parent_below(view, index, place)
    if number == index.folded("k-1"):
        key = f"{word} {number} ({index.folded('form')} {parent})"
        return index.heads.get(key), parent is not None
    if parent is not None and not parent.startswith(index.folded(_PROPER_PARENT)):
        return None, True
    return index.heads.get(f"{word} {number}"), True


def _parent_below(view: PageView, index: TitleIndex, place: int) -> str | None:
    pattern = re.compile(rf"\(\s*{index.folded('form')}\s*([0-9]{{3,4}}[a-z]?(?:-[a-z0-9]+)?)")
    for line in view.lines[place : place + 4]:
        match = pattern.search(line.folded)
        if match:
            return match[1]
    return None


def _shown(words: str, match: re.Match[str]) -> str:
    """An unknown form's name for messages: its word and a short number, nothing else.

    A number of letters alone is a schedule's, in capitals: "Schedule of" names none.
    """
    number = words[match.start(3) : match.end(3)]
    has_digit = any(mark.isdigit() for mark in number)
    if not has_digit and (match[1] or not number.isupper()):
        return ""
    if not _SHORT_NUMBER.fullmatch(number.upper()):
        return ""
    return f"{'Form' if match[1] else 'Schedule'} {number.upper()}"


def _bare_number(line: LineView, index: TitleIndex) -> KnownTitle | None:
    """A large number without the word before it, as IRS forms print it: `W-2`, `1040-ES`."""
    first = line.folded.split(" ", 1)[0]
    if len(first) < 3 or not ("-" in first or line.size >= 20):
        return None
    return index.heads.get(f"{index.folded('form')} {first}")
