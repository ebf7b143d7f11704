"""State income tax forms: a state's name beside the words of a return, agency or voucher."""

from dataclasses import dataclass

from packets.intake.page_view import LineView, PageView
from packets.intake.title_index import TitleIndex
from packets.intake.titles import known_titles

_MOST_WORDS = 24
_ZONE = 0.24


@dataclass(frozen=True)
class StateMark:
    """A page that looks like a state's form."""

    category: str
    code: str
    """Two letters."""
    name: str
    weight: float
    lines: tuple[LineView, ...]
    """The headings of the page."""


def state_mark(view: PageView, index: TitleIndex) -> StateMark | None:
    """What state's form a page is, judged by the lines at its top."""
    zone = [line for line in view.lines if line.top <= _ZONE and _is_heading(line)]
    found = _state_in(zone, index)
    if found is None:
        return None
    name, code, line = found
    zone_text = " ".join(entry.folded for entry in zone)
    words = known_titles().state_words

    def has(phrases: tuple[str, ...], text: str) -> bool:
        return any(index.folded(phrase) in text for phrase in phrases)

    voucher = has(words.vouchers, zone_text)
    if has(words.returns, line.folded) or has(words.agencies, line.folded):
        weight = 5.0
    elif has(words.returns, zone_text) or has(words.agencies, zone_text) or voucher:
        weight = 4.0
    elif has(words.weak, zone_text):
        weight = 2.5
    else:
        return None
    return StateMark(
        "voucher-state" if voucher else "state-return", code, name, weight, tuple(zone)
    )


def _is_heading(line: LineView) -> bool:
    """No running text: few words, and not many of them in small letters."""
    words = line.words.split()
    small = sum(1 for word in words if word[0].islower() and len(word) > 3)
    return len(words) <= _MOST_WORDS and small <= len(words) / 3


def _state_in(zone: list[LineView], index: TitleIndex) -> tuple[str, str, LineView] | None:
    """The state that is named first as a word of its own, not as part of an address."""
    top = "\n".join(line.folded for line in zone)
    states = [(name, code) for name, code in known_titles().states if index.folded(name) in top]
    for line in zone:
        taken = line.folded
        for name, code in states:
            at = taken.find(index.folded(name))
            if at < 0:
                continue
            after = taken[at + len(name) :].lstrip(" ,")
            before = taken[:at].rstrip(" ")
            if before.endswith(",") or after[:5].isdigit() or after[:1].isdigit():
                break  # a place in an address: "Springfield, Illinois 62701"
            if taken[at - 1 : at].isalnum() or (after and taken[at + len(name)].isalnum()):
                continue
            return name.title() if code != "DC" else "District of Columbia", code, line
    return None
