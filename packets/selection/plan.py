"""Recipe x inventory: which pages go in, in which order and why; what stays out and why."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from packets.base.errors import OurFault
from packets.intake.page_corrections import left_out_by_person
from packets.intake.records import Inventory, InventoryPage
from packets.recipe.model import Audience, Part, Recipe
from packets.recipe.patterns import first_match, matches
from packets.selection import sentences
from packets.selection.grouping import Form, group_pages
from packets.selection.records import LeftOut, PagePlan, PlannedDocument, PlannedPage, PlannedPart
from packets.selection.sequence import sequence_key
from packets.selection.titles import title_of, told_apart

CONSENT = ("consent-disclosure", "consent-disclosure-*")
"""Categories of a signed consent to disclose return information (26 CFR 301.7216-3)."""
VOUCHER = "voucher-*"
"""Pages of these categories are to be filed or paid with, whoever gave them the category."""


@dataclass
class _Choice:
    """Where each page went, while the plan is made."""

    taken: list[list[tuple[InventoryPage, str]]]
    """For each part of the recipe, its pages and the pattern that took them, in folder order."""
    left_out: dict[tuple[int, str], list[int]] = field(default_factory=dict)
    unknown: list[InventoryPage] = field(default_factory=list)

    def leave(self, page: InventoryPage, why: str) -> None:
        self.left_out.setdefault((page.document, why), []).append(page.number)


def plan_pages(recipe: Recipe, inventory: Inventory) -> PagePlan:
    """Every page of the inventory either in exactly one part or left out with one reason.

    The first part that takes a page wins. `stops` name what keeps this packet from
    being built as things stand; a plan with stops may be shown, never built. Raises
    `OurFault` when the inventory does not list every page of every document once.
    """
    _must_be_whole(inventory)
    choice = _choose(recipe, inventory)
    consent = _consent_pages(inventory)
    needs_consent = recipe.audience is Audience.THIRD_PARTY
    parts = tuple(
        _planned_part(part, pages, recipe)
        for part, pages in zip(recipe.part, choice.taken, strict=True)
        if pages
    )
    return PagePlan(
        parts=parts,
        left_out=tuple(
            LeftOut(document=document, pages=tuple(sorted(numbers)), why=why)
            for (document, why), numbers in choice.left_out.items()
        ),
        stops=tuple(_stops(recipe, inventory, choice, consent)),
        needs_consent=needs_consent,
        consent_pages=consent if needs_consent else (),
    )


def _must_be_whole(inventory: Inventory) -> None:
    listed = sorted((page.document, page.number) for page in inventory.pages)
    expected = [
        (index, number)
        for index, document in enumerate(inventory.documents)
        for number in range(1, document.pages + 1)
    ]
    if listed != expected:
        raise OurFault("the inventory does not list every page of every document once")


def _folder_order(inventory: Inventory) -> list[InventoryPage]:
    return sorted(inventory.pages, key=lambda page: (page.document, page.number))


def _choose(recipe: Recipe, inventory: Inventory) -> _Choice:
    choice = _Choice(taken=[[] for _ in recipe.part])
    by_person = left_out_by_person(inventory) if recipe.audience.masked else {}
    for page in _folder_order(inventory):
        why = by_person.get((page.document, page.number))
        if why is not None:
            choice.leave(page, sentences.left_out_by_person(why))
        elif page.category is None:
            choice.unknown.append(page)
            choice.leave(page, sentences.UNKNOWN)
        elif _may_not_be_masked(page, recipe) and recipe.mask.vouchers == "leave-out":
            choice.leave(page, sentences.TO_BE_FILED)
        else:
            _give_to_a_part(page, page.category, recipe, choice)
    return choice


def _give_to_a_part(page: InventoryPage, category: str, recipe: Recipe, choice: _Choice) -> None:
    why = ""
    for position, part in enumerate(recipe.part):
        pattern = first_match(part.take, category)
        if pattern is None:
            continue
        if first_match(part.leave, category) is None:
            choice.taken[position].append((page, pattern))
            return
        why = why or sentences.taken_out(part.heading, category)
    choice.leave(page, why or sentences.not_taken(category))


def _may_not_be_masked(page: InventoryPage, recipe: Recipe) -> bool:
    """A page for the agency in a packet that shows last four digits only."""
    for_agency = page.to_be_filed or matches(VOUCHER, page.category or "")
    return for_agency and recipe.audience.masked


def _planned_part(
    part: Part, pages: Sequence[tuple[InventoryPage, str]], recipe: Recipe
) -> PlannedPart:
    why = {(page.document, page.number): sentences.taken(by, page) for page, by in pages}
    forms = _in_order(part, group_pages(page for page, _ in pages))
    documents = tuple(
        PlannedDocument(
            title=title_of(form),
            category=form[0].category or "",
            pages=tuple(
                PlannedPage(
                    document=page.document,
                    number=page.number,
                    category=page.category or "",
                    why=why[page.document, page.number],
                    blank_numbers=_may_not_be_masked(page, recipe),
                )
                for page in form
            ),
        )
        for form in forms
    )
    return PlannedPart(
        heading=part.heading,
        documents=told_apart(documents),
        signed_by=tuple(role.value for role in part.signed_by),
    )


def _in_order(part: Part, forms: Sequence[Form]) -> list[Form]:
    """The forms of a part as its `order` asks; equals keep the order of the folder."""
    if part.order == "attachment-sequence":
        return sorted(
            forms, key=lambda form: sequence_key(form[0].category or "", _sequence_of(form))
        )
    if part.order == "as-listed":
        return sorted(forms, key=lambda form: _listed_at(part, form))
    return list(forms)


def _listed_at(part: Part, form: Form) -> int:
    """Position in `take` of the pattern that took this form."""
    category = form[0].category or ""
    return next(place for place, by in enumerate(part.take) if matches(by, category))


def _sequence_of(form: Form) -> str:
    return next((page.sequence for page in form if page.sequence), "")


def _consent_pages(inventory: Inventory) -> tuple[tuple[int, int], ...]:
    return tuple(
        (page.document, page.number)
        for page in _folder_order(inventory)
        if page.category is not None and first_match(CONSENT, page.category) is not None
    )


def _stops(
    recipe: Recipe,
    inventory: Inventory,
    choice: _Choice,
    consent: tuple[tuple[int, int], ...],
) -> Iterable[str]:
    if recipe.unknown_pages == "stop":
        yield from sentences.unknown_pages(choice.unknown, inventory)
    for part, pages in zip(recipe.part, choice.taken, strict=True):
        for pattern in part.required:
            if not _any_fits(pattern, (page for page, _ in pages)):
                elsewhere = _any_fits(pattern, inventory.pages)
                yield sentences.missing(part.heading, pattern, elsewhere)
    if recipe.audience is Audience.THIRD_PARTY:
        if not consent:
            yield sentences.NO_CONSENT
        unsure = [page for pages in choice.taken for page, _ in pages if not page.evidence.sure]
        yield from sentences.unsure_pages(unsure, inventory)
    if not any(choice.taken):
        yield sentences.EMPTY


def _any_fits(pattern: str, pages: Iterable[InventoryPage]) -> bool:
    return any(page.category is not None and matches(pattern, page.category) for page in pages)
