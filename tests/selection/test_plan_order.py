"""Pages of a form stay together, and forms stand as they ask to be assembled."""

import pytest
from small_inventories import inventory, page, recipe

from packets.intake.records import EvidenceKind, InventoryPage
from packets.selection.plan import plan_pages
from packets.selection.sequence import parse_sequence, sequence_key

CONTINUED = EvidenceKind.CONTINUED


def documents(*folder: list[InventoryPage], order: str = "folder") -> list[tuple[str, list[int]]]:
    plan = plan_pages(recipe({"take": ["*"], "order": order}), inventory(*folder))
    return [
        (document.title, [planned.number for planned in document.pages])
        for document in plan.parts[0].documents
    ]


def schedule_c(form_page: int) -> InventoryPage:
    return page("schedule-c", title="Schedule C", sequence="09", form_page=form_page)


def test_forms_follow_their_attachment_sequence() -> None:
    found = documents(
        [
            page("form-8949", title="8949", sequence="12A"),
            page("schedule-e", title="E", sequence="13"),
            page("statement", title="Statement"),
            page("schedule-d", title="D", sequence="12"),
            page("schedule-1", title="1", sequence="01"),
            page("schedule-1-a", title="1-A", sequence="1A"),
            page("form-8888", title="8888", sequence="56"),
            page("form-4868", title="4868"),
            page("schedule-2", title="2", sequence="02"),
            page("form-1040", title="1040"),
        ],
        order="attachment-sequence",
    )
    titles = [title for title, _ in found]
    assert titles == ["1040", "1", "1-A", "2", "D", "8949", "E", "8888", "4868", "Statement"]


def test_documents_may_stand_in_the_order_the_recipe_lists_them() -> None:
    folder = inventory([page("invoice")], [page("letter"), page("w-2")], [page("letter")])
    part = {"take": ["letter", "*"], "order": "as-listed"}
    plan = plan_pages(recipe(part), folder)
    assert [(each.document, each.number) for each in plan.pages] == [(1, 1), (2, 1), (0, 1), (1, 2)]


def test_statements_follow_in_the_order_of_their_forms() -> None:
    found = documents(
        [
            page("statement", title="to E", sequence="13"),
            page("statement", title="to none"),
            page("statement", title="to A", sequence="07"),
        ],
        order="attachment-sequence",
    )
    assert [title for title, _ in found] == ["to A", "to E", "to none"]


def test_two_schedules_of_one_kind_stay_two() -> None:
    found = documents([schedule_c(1), schedule_c(2), schedule_c(1), schedule_c(2)])
    assert found == [("Schedule C (1 of 2)", [1, 2]), ("Schedule C (2 of 2)", [3, 4])]


def test_pages_collated_by_page_number_find_their_form() -> None:
    found = documents([schedule_c(1), schedule_c(1), schedule_c(2), schedule_c(2)])
    assert sorted(numbers for _, numbers in found) == [[1, 4], [2, 3]]


def test_a_form_scanned_backwards_is_put_in_page_order() -> None:
    assert documents([schedule_c(2), schedule_c(1)]) == [("Schedule C", [2, 1])]


def test_pages_of_a_form_stay_together_across_other_pages() -> None:
    found = documents([schedule_c(1), page("letter", title="Letter"), schedule_c(2)])
    assert found == [("Schedule C", [1, 3]), ("Letter", [2])]


def test_forms_of_two_files_are_never_one() -> None:
    assert documents([schedule_c(1)], [schedule_c(2)]) == [
        ("Schedule C (1 of 2)", [1]),
        ("Schedule C (2 of 2)", [1]),
    ]


def test_a_title_begins_a_form_and_what_continues_follows_it() -> None:
    w2 = page("w-2", title="Form W-2")
    assert documents([w2, page("w-2", by=CONTINUED), w2]) == [
        ("Form W-2 (1 of 2)", [1, 2]),
        ("Form W-2 (2 of 2)", [3]),
    ]


def test_a_page_without_a_number_stays_behind_its_neighbour() -> None:
    instructions = page("schedule-c", by=CONTINUED)
    assert documents([schedule_c(2), instructions, schedule_c(1)]) == [("Schedule C", [3, 1, 2])]


def test_the_pages_of_a_scan_in_a_named_folder_are_one_document() -> None:
    scan = page("1099-int", by=EvidenceKind.FOLDER)
    assert documents([scan, scan, scan]) == [("Form 1099-INT", [1, 2, 3])]


def test_forms_of_two_years_or_states_are_two() -> None:
    one = page("state-return", title="State return", form_page=1, tax_year=2025, jurisdiction="CA")
    other_state = page("state-return", form_page=2, jurisdiction="OR")
    other_year = page("state-return", form_page=2, tax_year=2024, jurisdiction="CA")
    assert len(documents([one, other_state])) == 2
    assert len(documents([one, other_year])) == 2


@pytest.mark.parametrize(
    ("category", "title"),
    [
        ("bank-statement", "Bank statement"),
        ("form-8879", "Form 8879"),
        ("schedule-se", "Schedule SE"),
        ("k-1-1065", "Schedule K-1 (Form 1065)"),
        ("w-2", "Form W-2"),
        ("1099-int", "Form 1099-INT"),
    ],
)
def test_a_document_without_a_title_is_called_by_its_category(category: str, title: str) -> None:
    assert documents([page(category)])[0][0] == title


def test_equal_pages_are_both_kept() -> None:
    same = page("letter", title="Letter")
    assert len(documents([same], [same])) == 2


def test_a_sequence_number_is_a_number_and_a_letter() -> None:
    ascending = ["1", "1A", "02", "12", "12A", "13", "55", "55A", "155"]
    keys = [parse_sequence(text) for text in ascending]
    assert keys == sorted(keys, key=lambda key: key or (0, ""))
    assert len(set(keys)) == len(keys)


@pytest.mark.parametrize("text", ["", "A", "12-3", "one", "1 2", "99999", "٣"])
def test_what_is_no_sequence_number_goes_behind_those_that_are(text: str) -> None:
    assert parse_sequence(text) is None
    assert sequence_key("form-4868", text) > sequence_key("form-8829", "176")
