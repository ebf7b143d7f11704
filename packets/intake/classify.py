"""From the printed lines of one page to its category, title and evidence.

A form's own heading, running title and official title count; a mention in
running text does not. What is weak or contested is said to be unsure.
"""

from dataclasses import dataclass, field

from packets.intake.form_heads import HeadMark, head_marks
from packets.intake.form_titles import TitleMark, sentence_marks, title_marks
from packets.intake.page_view import LineView, PageView, view_of
from packets.intake.printed_years import page_number, tax_year
from packets.intake.state_titles import StateMark, state_mark
from packets.intake.title_index import TitleIndex, title_index
from packets.intake.titles import KnownTitle, known_titles
from packets.reading.records import PageText

SURE = 4.0
ENOUGH = 2.5
_CLOSE = 0.75
"""A second category with this share of the best one's weight makes the page unsure."""
_MOST = {"title": 4.0, "sentence": 5.0, "opening": 5.0, "label": 3.0}
_OWN_HEADING = 1.35


@dataclass(frozen=True)
class PageGuess:
    """What one page seems to be, judged alone."""

    category: str | None
    words: str
    """The evidence in words of ours."""
    sure: bool = True
    title: str = ""
    tax_year: int | None = None
    jurisdiction: str = ""
    sequence: str = ""
    form_page: int | None = None
    to_be_filed: bool = False
    other_form: str = ""
    """The name of a form that is not known here, by which the page calls itself."""
    heading: bool = False
    """The page has a heading of its own."""
    contested: str = ""
    """The second category where two are close."""


@dataclass
class _Weighed:
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
    def only_running(self) -> bool:
        """Named at the edge alone: a later page of the form, or instructions to it."""
        return self.running > 0 and self.head == 0 and not self.by_kind.get("title")


def classify_page(page: PageText) -> PageGuess:
    """Judge one page by what is printed on it."""
    view = view_of(page)
    index = title_index(view.by_ocr)
    heads = tuple(head_marks(view, index))
    weighed = _weigh(view, index, heads)
    state = state_mark(view, index)
    number = page_number(view)
    other = next((mark.shown for mark in heads if mark.form is None), "")
    heading = any(_own_heading(view, line) for line in view.lines)
    winner, second = _winner(weighed, state)
    if isinstance(winner, StateMark):
        return _state_guess(view, winner, other, number, second)
    if winner is None or winner.total < ENOUGH:
        words = f"calls itself {other}, which is not known here" if other else ""
        return PageGuess(
            None,
            words or "no title that is known",
            form_page=number,
            other_form=other,
            heading=heading or bool(other),
        )
    return _form_guess(view, index, winner, second, weighed, number)


def _weigh(view: PageView, index: TitleIndex, heads: tuple[HeadMark, ...]) -> dict[str, _Weighed]:
    weighed: dict[str, _Weighed] = {}

    def of(form: KnownTitle) -> _Weighed:
        return weighed.setdefault(form.category, _Weighed(form))

    for head in heads:
        if head.form is None:
            continue
        entry = of(head.form)
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


def _add(entry: _Weighed, mark: TitleMark) -> None:
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


def _add_numbers(view: PageView, index: TitleIndex, weighed: dict[str, _Weighed]) -> None:
    """Attachment sequence and OMB numbers support a form that something else names."""
    zone = " ".join(line.folded for line in view.lines if line.in_top_zone)
    for entry in weighed.values():
        form = entry.form
        if form.sequence and index.folded(f"sequence no. {form.sequence}") in f"{zone} ":
            entry.by_kind["sequence"] = 2.0
            _say(entry, f"attachment sequence number {form.sequence}")
        if form.omb and index.folded(form.omb) in zone:
            entry.by_kind["omb"] = 0.5


def _say(entry: _Weighed, words: str) -> None:
    if words not in entry.said:
        entry.said.append(words)


def _winner(
    weighed: dict[str, _Weighed], state: StateMark | None
) -> tuple["_Weighed | StateMark | None", str]:
    """The strongest category and, where one comes close, the second."""
    beaten = {
        lost
        for entry in weighed.values()
        if entry.total >= SURE and entry.form.category not in ("instructions",)
        for lost in entry.form.over
    }
    ranked = sorted(
        (entry for entry in weighed.values() if entry.form.category not in beaten),
        key=lambda entry: (-entry.total, entry.form.category),
    )
    best = ranked[0] if ranked else None
    if state is not None and state.category not in beaten:
        weight = best.total if best is not None else 0.0
        if weight < state.weight:
            close = best is not None and weight >= max(ENOUGH, _CLOSE * state.weight)
            return state, best.form.category if best is not None and close else ""
    if best is None:
        return None, ""
    rivals = [entry for entry in ranked[1:] if entry.total >= max(ENOUGH, _CLOSE * best.total)]
    return best, rivals[0].form.category if rivals else ""


def _form_guess(
    view: PageView,
    index: TitleIndex,
    winner: _Weighed,
    second: str,
    weighed: dict[str, _Weighed],
    number: int | None,
) -> PageGuess:
    form = winner.form
    year = None if form.undated else tax_year(view, tuple(winner.lines), winner.year)
    words = ", ".join(winner.said)
    turned = _instead(view, index, winner, weighed, number)
    if turned:
        known = known_titles().of(turned)
        return PageGuess(
            turned,
            f"{words}, but the page is {'a worksheet' if turned == 'worksheet' else 'instructions'}"
            f" to {form.title}",
            title=f"{known.title if known else ''} ({form.title})",
            tax_year=year,
            form_page=number,
            heading=True,
        )
    if second in ("instructions", "worksheet"):
        second = ""
    first = not winner.only_running or "sequence" in winner.by_kind
    if number is None and form.pages > 1 and first:
        number = 1  # only a first page prints the heading or the sequence number
    return PageGuess(
        form.category,
        words,
        sure=winner.total >= SURE and not second and view.sure,
        title=form.title,
        tax_year=year,
        sequence=form.sequence,
        form_page=number,
        to_be_filed=form.to_be_filed,
        heading=not winner.only_running,
        contested=second,
    )


def _instead(
    view: PageView,
    index: TitleIndex,
    winner: _Weighed,
    weighed: dict[str, _Weighed],
    number: int | None,
) -> str:
    """`instructions` or `worksheet` where the page only serves the form it names."""
    form = winner.form
    if not form.heads:
        return ""
    page = view.folded
    needs = index.needs[form.category]
    missing = bool(needs) and not any(need in page for need in needs)
    beyond = bool(form.instructions_from and number and number >= form.instructions_from)
    reads = weighed.get("instructions")
    told = reads is not None and reads.total >= 3.0 and winner.head == 0
    if not (missing or beyond or (told and winner.only_running)):
        return ""
    sheet = weighed.get("worksheet")
    return "worksheet" if sheet is not None and sheet.total >= 2.7 else "instructions"


def _state_guess(
    view: PageView, state: StateMark, other: str, number: int | None, second: str
) -> PageGuess:
    own = f" {other}" if other else " income tax return"
    kind = "payment voucher" if state.category == "voucher-state" else own.strip()
    return PageGuess(
        state.category,
        f"the name of {state.name} beside the words of a state form",
        sure=state.weight >= SURE and not second and view.sure,
        title=f"{state.name} {kind}",
        tax_year=tax_year(view, (), None),
        jurisdiction=state.code,
        form_page=number,
        to_be_filed=state.category == "voucher-state",
        other_form=other,
        heading=True,
        contested=second,
    )


def _own_heading(view: PageView, line: LineView) -> bool:
    """A line in the top zone in clearly larger type, with words and no sentence."""
    letters = sum(mark.isalpha() for mark in line.words)
    return (
        line.in_top_zone
        and letters >= 4
        and line.size >= view.body * _OWN_HEADING
        and len(line.words) <= 90
    )
