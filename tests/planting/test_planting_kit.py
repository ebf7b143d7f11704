"""Every hiding place of the kit: recovered by others before, gone for all of them after."""

import pytest
from hiding_places import HidingPlace
from masking_run import known_number, mask
from outside_readers import recovered_by, remains
from pixels import cells_of, differs_outside
from planted_pages import GOING, NUMBER
from planting_kit import PLACES

from packets.identifiers.kinds import ALL_KINDS, MaskPolicy
from packets.masking.records import MaskedDocument
from packets.outbound.check import check_pdf
from packets.outbound.records import Judgement, Verdict

KNOWN = (known_number(NUMBER),)


def checked(pdf: bytes) -> Verdict:
    policy = MaskPolicy(kinds=ALL_KINDS)
    return check_pdf(pdf, name="a.pdf", passphrase=None, known=KNOWN, policy=policy)


def cases() -> list[object]:
    return [
        pytest.param(
            place,
            id=name,
            marks=[pytest.mark.xfail(strict=True, reason=place.leak)] if place.leak else [],
        )
        for name, place in PLACES.items()
    ]


@pytest.mark.parametrize("place", cases())
def test_a_planted_number_is_gone_for_every_reader(place: HidingPlace) -> None:
    pdf = place.make()
    assert recovered_by(pdf, place.told_by, place.times), "nobody outside recovers this"
    assert checked(pdf).judgement is Judgement.HELD
    result = mask(pdf, KNOWN if place.known else ())
    verdict = checked(result.pdf)
    if place.may_hold and (result.unread or verdict.judgement is Judgement.HELD):
        return
    assert not result.unread
    assert remains(result.pdf, place.told_by) == []
    assert (verdict.sightings, verdict.unread) == ((), ())
    if place.alike:
        assert_looks_alike(pdf, result, place.told_by)


def masked_twice() -> list[HidingPlace]:
    """Every place that needs no recognition, and every eighth of those that do."""
    swift = [place for place in PLACES.values() if place.told_by in ("text", "objects")]
    slow = [place for place in PLACES.values() if place.told_by in ("pixels", "bars")]
    return swift + slow[::8]


@pytest.mark.parametrize("place", masked_twice(), ids=lambda place: place.name)
def test_masking_what_was_masked_changes_nothing(place: HidingPlace) -> None:
    once = mask(place.make(), KNOWN)
    if place.may_hold and once.unread:
        return
    twice = mask(once.pdf, KNOWN)
    assert (twice.masks, twice.unread) == ((), ())
    if twice.pdf != once.pdf and place.alike:
        assert differs_outside(once.pdf, twice.pdf, []) == 0


def assert_looks_alike(pdf: bytes, result: MaskedDocument, told_by: str) -> None:
    """Not a pixel differs outside the digits' cells, or the boxes that the masking names."""
    # A bar code goes with its quiet zone; the mask of what is drawn may be a little wider.
    grow = {"bars": 6, "pixels": 4}.get(told_by, 0)
    places = [m.place for m in result.masks]
    areas = [(p.x0 - grow, p.y0 - grow, p.x1 + grow, p.y1 + grow) for p in places]
    if told_by == "text":
        areas += cells_of(pdf, GOING)
    by = 40 if told_by == "pixels" else 8  # coded anew, a picture differs a little all over
    count = differs_outside(pdf, result.pdf, areas, by=by)
    assert count == 0, f"{count} pixels"


def test_the_kit_has_at_least_eighty_places() -> None:
    assert len(PLACES) >= 80
    assert len({place.make() for place in PLACES.values()}) == len(PLACES)
