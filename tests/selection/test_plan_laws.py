"""Laws of the page plan, for any recipe and any client folder."""

import random
from collections import Counter
from dataclasses import replace
from typing import Any

from hypothesis import given
from hypothesis import strategies as st
from small_inventories import inventory, page, recipe

from packets.intake.records import EvidenceKind, Inventory, InventoryPage
from packets.recipe.model import Recipe
from packets.selection.plan import plan_pages
from packets.selection.sequence import sequence_key

CATEGORIES = ("form-1040", "form-8879", "schedule-c", "w-2", "voucher-1040-es", "letter")
PATTERNS = (*CATEGORIES, "*", "form-*", "schedule-*", "*-c", "voucher-*")
SEQUENCES = st.one_of(
    st.sampled_from(["", "1", "01", "1A", "2", "12", "12A", "13", "x"]), st.text(max_size=3)
)

PAGES: st.SearchStrategy[InventoryPage] = st.builds(
    page,
    st.sampled_from([*CATEGORIES, None]),
    by=st.sampled_from(EvidenceKind),
    sure=st.booleans(),
    title=st.sampled_from(["", "A", "B"]),
    sequence=SEQUENCES,
    form_page=st.sampled_from([None, 1, 2, 3]),
    tax_year=st.sampled_from([None, 2024, 2025]),
    jurisdiction=st.sampled_from(["", "CA"]),
    to_be_filed=st.booleans(),
)
INVENTORIES: st.SearchStrategy[Inventory] = st.lists(st.lists(PAGES, max_size=8), max_size=4).map(
    lambda folders: inventory(*folders)
)
PATTERN_LISTS = st.lists(st.sampled_from(PATTERNS), min_size=1, max_size=3)
PARTS: st.SearchStrategy[dict[str, Any]] = st.fixed_dictionaries(
    {
        "take": PATTERN_LISTS,
        "leave": st.one_of(st.just([]), PATTERN_LISTS),
        "order": st.sampled_from(["folder", "as-listed", "attachment-sequence"]),
        "required": st.one_of(st.just([]), PATTERN_LISTS),
    }
)
RECIPES: st.SearchStrategy[Recipe] = st.builds(
    lambda parts, audience, unknown, vouchers: recipe(
        *parts, audience=audience, unknown_pages=unknown, mask={"vouchers": vouchers}
    ),
    st.lists(PARTS, min_size=1, max_size=4),
    st.sampled_from(["client", "third-party", "office", "agency"]),
    st.sampled_from(["stop", "leave-out"]),
    st.sampled_from(["leave-out", "blank"]),
)


@given(RECIPES, INVENTORIES)
def test_every_page_is_accounted_for_exactly_once(chosen: Recipe, folder: Inventory) -> None:
    plan = plan_pages(chosen, folder)
    accounted = Counter((planned.document, planned.number) for planned in plan.pages)
    accounted.update((left.document, number) for left in plan.left_out for number in left.pages)
    assert accounted == Counter((each.document, each.number) for each in folder.pages)
    assert all(planned.why for planned in plan.pages)
    assert all(left.why and left.pages for left in plan.left_out)


@given(RECIPES, INVENTORIES)
def test_a_packet_that_may_be_built_has_pages(chosen: Recipe, folder: Inventory) -> None:
    plan = plan_pages(chosen, folder)
    assert plan.pages or plan.stops


@given(RECIPES, INVENTORIES)
def test_no_page_of_a_masked_packet_is_fileable_with_its_number(
    chosen: Recipe, folder: Inventory
) -> None:
    filed = {(each.document, each.number) for each in folder.pages if each.to_be_filed}
    for planned in plan_pages(chosen, folder).pages:
        if (planned.document, planned.number) in filed and chosen.audience.masked:
            assert planned.blank_numbers


@given(RECIPES, INVENTORIES, st.randoms(use_true_random=False))
def test_the_order_in_which_pages_are_listed_changes_nothing(
    chosen: Recipe, folder: Inventory, shuffler: random.Random
) -> None:
    pages = list(folder.pages)
    shuffler.shuffle(pages)
    assert plan_pages(chosen, replace(folder, pages=tuple(pages))) == plan_pages(chosen, folder)


@given(INVENTORIES, st.permutations(range(4)))
def test_parts_that_share_nothing_keep_their_documents_in_any_order(
    folder: Inventory, order: list[int]
) -> None:
    unrelated = [
        {"heading": "a", "take": ["form-*"], "order": "attachment-sequence"},
        {"heading": "b", "take": ["schedule-*"], "order": "attachment-sequence"},
        {"heading": "c", "take": ["w-2"]},
        {"heading": "d", "take": ["letter"]},
    ]
    straight = plan_pages(recipe(*unrelated), folder)
    shuffled = plan_pages(recipe(*(unrelated[place] for place in order)), folder)
    assert {part.heading: part for part in straight.parts} == {
        part.heading: part for part in shuffled.parts
    }
    assert straight.left_out == shuffled.left_out


FORM = st.tuples(st.sampled_from([*CATEGORIES, "statement", "form-1040-sr"]), SEQUENCES)


@given(FORM, FORM, FORM)
def test_attachment_order_is_a_total_order(
    one: tuple[str, str], two: tuple[str, str], three: tuple[str, str]
) -> None:
    a, b, c = (sequence_key(*form) for form in (one, two, three))
    assert (a < b) + (b < a) + (a == b) == 1
    if a <= b <= c:
        assert a <= c


@given(st.lists(PAGES.filter(lambda given: given.category is not None), max_size=10))
def test_attachment_order_moves_forms_and_neither_splits_nor_merges_them(
    pages: list[InventoryPage],
) -> None:
    folder = inventory(pages)
    forms = [
        {
            tuple(planned.number for planned in document.pages)
            for part in plan_pages(recipe({"take": ["*"], "order": order}), folder).parts
            for document in part.documents
        }
        for order in ("folder", "attachment-sequence")
    ]
    assert forms[0] == forms[1]
