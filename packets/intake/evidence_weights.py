"""All signs on a page weighed against one another."""

import re
from dataclasses import dataclass, field

from packets.intake.form_heads import HeadMark
from packets.intake.form_titles import TitleMark, sentence_marks, title_marks
from packets.intake.page_view import LineView, PageView
from packets.intake.state_titles import StateMark
from packets.intake.title_index import TitleIndex
from packets.intake.titles import KnownTitle, known_titles

SURE = 4.0
ENOUGH = 2.5
_CLOSE = 0.75
"""A second category with this share of the best one's weight makes the page unsure."""
_MOST = {"title": 4.0, "sentence": 5.0, "opening": 5.0, "label": 3.0}
_CONSOLIDATED = "1099-consolidated"
_MANY_STATEMENTS = 2
_HEADING = 3.0
"""A second form's own heading: two papers on one page, whatever else speaks for the first."""


@dataclass
class Weighed:
    """All signs for one category."""

    form: KnownTitle
    running: float = 0.0
    head: float = 0.0
    by_kind: dict[str, float] = field(default_factory=dict)
    year: int | None = None
    lines: list[LineView] = field(default_factory=list)
    said: list[str] = field(default_factory=list)

    @property
    def total(self) -> float:
        return self.running + self.head + sum(self.by_kind.values())

    @property
    def numbered(self) -> bool:
        """The page calls itself by the form's number."""
        return self.running > 0 or self.head > 0

    @property
    def only_running(self) -> bool:
        """Named at the edge alone: a later page of the form, or instructions to it."""
        return self.running > 0 and self.head == 0 and not self.by_kind.get("title")


def weigh(view: PageView, index: TitleIndex, heads: tuple[HeadMark, ...]) -> dict[str, Weighed]:
    """Every category that anything on the page speaks for, with all its signs."""
    weighed: dict[str, Weighed] = {}

    def of(form: KnownTitle) -> Weighed:
        return weighed.setdefault(form.category, Weighed(form))

    for head in heads:
        if head.form is None:
            continue
        entry = of(head.form)
        entry.lines.append(head.line)
        if head.running:
            entry.running = 5.0
            entry.year = entry.year or head.year
            _say(entry, f"the running title of {head.form.title}")
        else:
            entry.head = max(entry.head, head.weight)
            _say(entry, f"the heading {head.form.title}")
    for mark in (*title_marks(view, index), *sentence_marks(view, index)):
        _add(of(mark.form), mark)
    _add_numbers(view, index, weighed)
    return weighed


def _add(entry: Weighed, mark: TitleMark) -> None:
    kinds = entry.by_kind
    if mark.kind == "title":
        kinds["title"] = max(kinds.get("title", 0.0), mark.weight)
        _say(entry, "its official title" if entry.form.heads else "its heading")
    else:
        kinds[mark.kind] = min(kinds.get(mark.kind, 0.0) + mark.weight, _MOST[mark.kind])
        _say(
            entry,
            {"sentence": "a sentence only it has", "opening": "how its lines begin"}.get(
                mark.kind, "its labels"
            ),
        )
    if mark.line is not None:
        entry.lines.append(mark.line)


def _add_numbers(view: PageView, index: TitleIndex, weighed: dict[str, Weighed]) -> None:
    """Attachment sequence and OMB numbers support a form that something else names."""
    zone = "\n".join(line.folded for line in view.lines if line.in_top_zone)
    close = zone.replace(" ", "")
    for entry in weighed.values():
        form = entry.form
        printed = re.escape(index.folded(f"sequenceno.{form.sequence}"))
        if form.sequence and re.search(rf"{printed}(?![0-9a-z])", close):
            entry.by_kind["sequence"] = 2.0
            _say(entry, f"attachment sequence number {form.sequence}")
        if form.omb and index.folded(form.omb) in zone:
            entry.by_kind["omb"] = 0.5


def _say(entry: Weighed, words: str) -> None:
    if words not in entry.said:
        entry.said.append(words)


def strongest(
    weighed: dict[str, Weighed], state: StateMark | None, other: str
) -> tuple["Weighed | StateMark | None", str]:
    """The strongest category and, where one comes close, the second.

    `other` is the name of a form that is not known here, by which the page
    calls itself: then a mere title decides nothing, for titles resemble one another.
    """
    ranked = _ranked(weighed, other)
    best = ranked[0] if ranked else None
    weight = best.total if best is not None else 0.0
    if state is not None and state.category not in _beaten(weighed):
        slip = best is not None and best.form.to_be_filed and not best.numbered
        if weight < state.weight or slip:
            close = best is not None and not slip and weight >= _nearly(state.weight)
            return state, best.form.category if best is not None and close else ""
    if best is None:
        return None, ""
    rivals = [
        entry for entry in ranked[1:] if entry.total >= _nearly(weight) or entry.head >= _HEADING
    ]
    several = _several_statements(weighed, best, rivals)
    if several is not None:
        return several, best.form.category
    return best, rivals[0].form.category if rivals else ""


def _ranked(weighed: dict[str, Weighed], other: str) -> list[Weighed]:
    beaten = _beaten(weighed)
    return sorted(
        (
            entry
            for entry in weighed.values()
            if entry.form.category not in beaten
            and (entry.numbered or not (other and entry.form.heads))
        ),
        key=lambda entry: (-entry.total, entry.form.category),
    )


def _beaten(weighed: dict[str, Weighed]) -> set[str]:
    """Categories that lose against a strong one whatever they weigh."""
    return {lost for entry in weighed.values() if entry.total >= SURE for lost in entry.form.over}


def _nearly(weight: float) -> float:
    return max(ENOUGH, _CLOSE * weight)


def _several_statements(
    weighed: dict[str, Weighed], best: Weighed, rivals: list[Weighed]
) -> Weighed | None:
    """A broker's page that holds several of the 1099 forms at once."""
    kinds = [entry for entry in (best, *rivals) if entry.form.category.startswith("1099-")]
    if len(kinds) < _MANY_STATEMENTS or not all(entry.numbered for entry in kinds):
        return None
    form = known_titles().of(_CONSOLIDATED)
    if form is None:
        return None
    joined = weighed.get(_CONSOLIDATED, Weighed(form))
    joined.by_kind["several"] = best.total
    joined.lines += best.lines
    joined.said.append("the names of several 1099 forms on one page")
    return joined
