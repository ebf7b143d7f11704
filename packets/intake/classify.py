"""From the printed lines of one page to its category, title and evidence.

A form's own heading, running title and official title count; a mention in
running text does not. What is weak or contested is said to be unsure.
"""

from dataclasses import dataclass

from packets.intake.copy_for_agency import is_copy_for_agency
from packets.intake.evidence_weights import ENOUGH, SURE, Weighed, strongest, weigh
from packets.intake.form_heads import head_marks
from packets.intake.page_view import LineView, PageView, view_of
from packets.intake.printed_years import page_number, printed_sequence, tax_year
from packets.intake.state_titles import StateMark, state_mark
from packets.intake.title_index import TitleIndex, title_index
from packets.intake.titles import known_titles
from packets.reading.records import PageText

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


def classify_page(page: PageText) -> PageGuess:
    """Judge one page by what is printed on it."""
    return classify_view(view_of(page))


def classify_view(view: PageView) -> PageGuess:
    """The same for a page whose lines are prepared already."""
    index = title_index(view.by_ocr)
    heads = tuple(head_marks(view, index))
    weighed = weigh(view, index, heads)
    state = state_mark(view, index)
    other = next((mark.shown for mark in heads if mark.form is None), "")
    heading = any(_own_heading(view, line) for line in view.lines)
    winner, second = strongest(weighed, state, other)
    if isinstance(winner, StateMark):
        return _state_guess(view, winner, other, second)
    if winner is None or winner.total < ENOUGH:
        words = f"calls itself {other}, which is not known here" if other else ""
        return PageGuess(
            None,
            words or "no title that is known",
            form_page=page_number(view, of_form=bool(other)),
            other_form=other,
            heading=heading or bool(other),
        )
    return _form_guess(view, index, winner, second, weighed)


def _form_guess(
    view: PageView,
    index: TitleIndex,
    winner: Weighed,
    second: str,
    weighed: dict[str, Weighed],
) -> PageGuess:
    form = winner.form
    number = page_number(view, of_form=bool(form.heads))
    year = None if form.undated else tax_year(view, tuple(winner.lines), winner.year)
    words = ", ".join(winner.said)
    needs = index.needs[form.category]
    lacking = bool(needs) and not any(need in view.folded for need in needs)
    turned = _instead(winner, weighed, number, lacking=lacking)
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
        sure=winner.total >= SURE and not second and view.sure and not lacking,
        title=form.title,
        tax_year=year,
        sequence=(printed_sequence(view) if form.heads else "") or form.sequence,
        form_page=number,
        to_be_filed=form.to_be_filed or is_copy_for_agency(view, form.category),
        heading=not winner.only_running,
        contested=second,
    )


def _instead(
    winner: Weighed, weighed: dict[str, Weighed], number: int | None, *, lacking: bool
) -> str:
    """`instructions` or `worksheet` where the page only serves the form it names.

    A first page that lacks what the form needs stays the form, unsure: a voucher
    in another layout must not pass for instructions.
    """
    form = winner.form
    if not form.heads:
        return ""
    later = bool(form.instructions_from and number and number >= form.instructions_from)
    reads = weighed.get("instructions")
    told = reads is not None and reads.total >= 2.0
    if not ((lacking and told) or ((lacking or told or later) and winner.only_running)):
        return ""
    sheet = weighed.get("worksheet")
    return "worksheet" if sheet is not None and sheet.total >= 2.7 else "instructions"


def _state_guess(view: PageView, state: StateMark, other: str, second: str) -> PageGuess:
    own = f" {other}" if other else " income tax return"
    kind = "payment voucher" if state.category == "voucher-state" else own.strip()
    return PageGuess(
        state.category,
        f"the name of {state.name} beside the words of a state form",
        sure=state.weight >= SURE and not second and view.sure,
        title=f"{state.name} {kind}",
        tax_year=tax_year(view, state.lines, None),
        jurisdiction=state.code,
        form_page=page_number(view, of_form=True),
        to_be_filed=state.category == "voucher-state",
        other_form=other,
        heading=True,
        contested=second,
    )


def _own_heading(view: PageView, line: LineView) -> bool:
    """A line in the top zone in clearly larger type, with words and no sentence."""
    return (
        line.in_top_zone
        and line.size >= view.body * _OWN_HEADING
        and len(line.words) <= 90
        and sum(mark.isalpha() for mark in line.words) >= 4
    )
