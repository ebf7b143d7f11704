"""Which pages go in, which stay out, and what stops a build."""

import pytest
from small_inventories import inventory, page, recipe

from packets.base.errors import OurFault
from packets.intake.records import EvidenceKind
from packets.selection.plan import plan_pages
from packets.selection.records import PagePlan

ALL = {"take": ["*"]}


def places(plan: PagePlan) -> list[tuple[int, int]]:
    return [(planned.document, planned.number) for planned in plan.pages]


def test_the_first_part_that_takes_a_page_wins() -> None:
    plan = plan_pages(
        recipe({"take": ["form-1*"]}, {"take": ["form-*"]}),
        inventory([page("form-1040"), page("form-8879")]),
    )
    assert [len(part.documents) for part in plan.parts] == [1, 1]
    assert plan.parts[0].documents[0].category == "form-1040"
    assert plan.stops == ()


def test_what_one_part_leaves_a_later_part_may_take() -> None:
    plan = plan_pages(
        recipe({"take": ["form-*"], "leave": ["form-8867"]}, {"take": ["form-8867"]}),
        inventory([page("form-8867")]),
    )
    assert [part.heading for part in plan.parts] == ["Part 1"]


def test_a_page_left_out_has_the_reason_in_words() -> None:
    plan = plan_pages(
        recipe({"heading": "Federal return", "take": ["form-*"], "leave": ["form-8867"]}),
        inventory([page("form-1040"), page("form-8867"), page("bank-statement")]),
    )
    assert [(left.pages, left.why) for left in plan.left_out] == [
        ((2,), "the part 'Federal return' leaves out form-8867"),
        ((3,), "no part of this recipe takes bank-statement"),
    ]


def test_a_page_of_unknown_category_stops_the_build() -> None:
    unknown = page(None)
    plan = plan_pages(
        recipe(ALL), inventory([page("w-2")], [unknown, unknown, page("w-2"), unknown])
    )
    (stop,) = plan.stops
    assert stop.startswith("documents/1.pdf, pages 1-2, 4: ")
    assert [(left.document, left.pages) for left in plan.left_out] == [(1, (1, 2, 4))]


def test_unknown_pages_may_be_left_out_and_are_still_named() -> None:
    plan = plan_pages(recipe(ALL, unknown_pages="leave-out"), inventory([page("w-2"), page(None)]))
    assert plan.stops == ()
    assert plan.left_out[0].pages == (2,)


@pytest.mark.parametrize("audience", ["client", "third-party"])
@pytest.mark.parametrize(
    "voucher",
    [page("form-1040-v", to_be_filed=True), page("voucher-1040-es", by=EvidenceKind.ENGAGEMENT)],
)
def test_a_voucher_stays_out_of_a_masked_packet(audience: str, voucher: object) -> None:
    plan = plan_pages(
        recipe({"take": ["form-*", "voucher-*"]}, audience=audience),
        inventory([page("form-1040"), voucher]),  # type: ignore[list-item]
    )
    assert places(plan) == [(0, 1)]
    assert "301.6109-4(b)(2)(iii)" in plan.left_out[0].why


def test_a_voucher_may_go_in_with_its_numbers_blanked() -> None:
    plan = plan_pages(
        recipe({"take": ["form-*", "voucher-*"]}, mask={"vouchers": "blank"}),
        inventory([page("form-1040"), page("voucher-1040-es", to_be_filed=True)]),
    )
    assert [planned.blank_numbers for planned in plan.pages] == [False, True]


@pytest.mark.parametrize("audience", ["office", "agency"])
def test_a_voucher_goes_whole_into_an_unmasked_packet(audience: str) -> None:
    plan = plan_pages(
        recipe(ALL, audience=audience), inventory([page("voucher-1040-es", to_be_filed=True)])
    )
    assert [planned.blank_numbers for planned in plan.pages] == [False]


def test_a_missing_required_form_stops_the_build() -> None:
    plan = plan_pages(
        recipe({"heading": "Federal return", "take": ["form-*"], "required": ["form-1040*"]}),
        inventory([page("form-8879")]),
    )
    assert plan.stops == (
        "The part 'Federal return' needs a page of form-1040*, and the folder holds none.",
    )


def test_a_required_form_that_went_elsewhere_does_not_count() -> None:
    plan = plan_pages(
        recipe({"take": ["form-1*"]}, {"take": ["form-*"], "required": ["form-*"]}),
        inventory([page("form-1040")]),
    )
    assert "an earlier part or left out" in plan.stops[0]


def test_a_third_party_packet_without_a_consent_stops() -> None:
    plan = plan_pages(recipe({"take": ["w-2"]}, audience="third-party"), inventory([page("w-2")]))
    assert plan.needs_consent
    assert any("301.7216-3" in stop for stop in plan.stops)


def test_a_third_party_packet_tells_where_its_consent_lies() -> None:
    plan = plan_pages(
        recipe({"take": ["w-2"]}, audience="third-party"),
        inventory([page("w-2")], [page("letter"), page("consent-disclosure")]),
    )
    assert plan.stops == ()
    assert plan.consent_pages == ((1, 2),)


@pytest.mark.parametrize("audience", ["client", "office", "agency"])
def test_other_packets_need_no_consent(audience: str) -> None:
    plan = plan_pages(
        recipe({"take": ["*"]}, audience=audience), inventory([page("consent-disclosure")])
    )
    assert (plan.needs_consent, plan.consent_pages, plan.stops) == (False, (), ())


def test_a_third_party_gets_no_page_on_a_guess() -> None:
    folder = inventory([page("w-2", sure=False)], [page("consent-disclosure", sure=False)])
    (stop,) = plan_pages(recipe({"take": ["w-2"]}, audience="third-party"), folder).stops
    assert stop.startswith("documents/0.pdf, page 1: the category is not sure")
    assert plan_pages(recipe({"take": ["w-2"]}), folder).stops == ()


def test_an_empty_plan_stops_the_build() -> None:
    plan = plan_pages(recipe({"take": ["w-2"]}), inventory([page("letter")]))
    assert plan.parts == ()
    assert plan.stops[0].startswith("No page of this client folder goes into the packet.")
    assert plan_pages(recipe(ALL), inventory()).stops


def test_a_part_without_pages_is_no_part_of_the_plan() -> None:
    plan = plan_pages(recipe({"take": ["w-2"]}, {"take": ["letter"]}), inventory([page("letter")]))
    assert [part.heading for part in plan.parts] == ["Part 1"]


def test_roles_that_must_sign_travel_with_the_part() -> None:
    plan = plan_pages(
        recipe({"take": ["*"], "signed_by": ["taxpayer", "spouse"]}), inventory([page("form-8879")])
    )
    assert plan.parts[0].signed_by == ("taxpayer", "spouse")


def test_an_inventory_that_forgets_a_page_is_our_own_fault() -> None:
    whole = inventory([page("w-2"), page("w-2")])
    for pages in (whole.pages[:1], (*whole.pages, whole.pages[0])):
        with pytest.raises(OurFault):
            plan_pages(
                recipe(ALL), type(whole)(whole.folder, whole.engagement, whole.documents, pages)
            )


def test_no_sentence_repeats_a_number_of_a_file_name_or_category() -> None:
    folder = inventory([page(None), page("078-05-1120")])
    document = type(folder.documents[0])("documents/078051120.pdf", "", b"", 2, "application/pdf")
    folder = type(folder)(folder.folder, folder.engagement, (document,), folder.pages)
    plan = plan_pages(recipe({"take": ["w-2"]}), folder)
    said = " ".join((*plan.stops, *(left.why for left in plan.left_out)))
    assert "1120" not in said
    assert "(number)" in said
