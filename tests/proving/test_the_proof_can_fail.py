"""A check that is blind somewhere is found out; a file that shows numbers is not called clean."""

import pytest
from proof_samples import READERS, WORDS, Watched, locked, pages_pdf, place_named

from packets.base.errors import Damaged, Locked
from packets.base.secret import Secret
from packets.identifiers.ranges import is_itin, is_possible_ssn
from packets.proving.numbers import AREAS, never_assigned, never_assigned_from, with_hyphens
from packets.proving.prove import prove_pdf
from packets.proving.records import Outcome, Proof, Told
from packets.proving.small_proof import PLANTS, prove_small

PLAIN = pages_pdf("Dear client, here is your copy.")
SEEN_BY_ONE = {
    "page text": place_named("text on a page", "a bare run of nine digits"),
    "objects and streams": place_named("structure and marked content", "attribute of an element"),
    "bytes of the file": place_named("the file itself", "behind the end of the file"),
    "pixels": place_named("pictures", "grey, deflated"),
}
"""For each reader a place that no other reader sees, in a locked file."""


@pytest.mark.parametrize("reader", READERS)
def test_the_proof_of_a_blind_reader_names_the_place_it_missed(reader: str) -> None:
    data, places = locked(PLAIN), list(SEEN_BY_ONE.values())
    whole = prove_pdf(data, passphrase=WORDS, places=places)
    assert whole.holds
    blind = prove_pdf(data, passphrase=WORDS, places=places, check=Watched([reader]))
    assert not blind.holds
    assert SEEN_BY_ONE[reader].name in blind.missed
    assert blind.found == len(places) - len(blind.missed)


def test_a_check_that_sees_nothing_proves_nothing() -> None:
    blind = Watched([*READERS, "files inside the file"])
    places = list(SEEN_BY_ONE.values())
    proof = prove_pdf(PLAIN, passphrase=None, places=places, check=blind)
    assert proof.found == 0
    assert not proof.holds


def test_a_proof_of_no_place_does_not_hold() -> None:
    assert not Proof(()).holds


@pytest.mark.parametrize("reader", READERS)
def test_the_small_proof_counts_for_each_plant_only_the_reader_it_is_meant_for(
    reader: str,
) -> None:
    data = locked(pages_pdf("one", "two", "three"))
    proof = prove_small(data, WORDS, check=Watched([reader]))
    assert set(proof.missed) == {plant.name for plant in PLANTS if plant.reader == reader}
    assert prove_small(data, WORDS).holds


def test_every_reader_has_a_plant_and_every_plant_a_kind_of_its_own() -> None:
    assert {plant.reader for plant in PLANTS} == set(READERS)
    assert len({plant.kind for plant in PLANTS}) == len(PLANTS)


def test_the_small_proof_of_a_file_that_does_not_open_misses_all() -> None:
    proof = prove_small(b"%PDF-1.7\nnot one", None)
    assert len(proof.missed) == len(PLANTS)


def test_a_file_that_cannot_be_opened_is_refused_not_proved() -> None:
    with pytest.raises(Damaged):
        prove_pdf(b"%PDF-1.7\nnot one", passphrase=None)
    with pytest.raises(Locked):
        prove_pdf(locked(PLAIN), passphrase=Secret("another word"))


def test_where_a_file_shows_numbers_itself_only_the_very_plant_counts() -> None:
    """Otherwise the file's own number would stand in for each plant that is missed."""
    data = pages_pdf("Number 000-12-3456 on file")
    blind = Watched(["pixels"])
    places = [SEEN_BY_ONE["pixels"], SEEN_BY_ONE["page text"]]
    proof = prove_pdf(data, passphrase=None, places=places, check=blind)
    assert [row.outcome for row in proof.rows] == [Outcome.MISSED, Outcome.FOUND]
    assert {row.told for row in proof.rows} == {Told.KNOWN}
    assert prove_pdf(data, passphrase=None, places=places).holds


def test_numbers_that_the_file_holds_already_are_not_planted() -> None:
    first = with_hyphens(never_assigned(AREAS[0], 0))
    watched = Watched()
    places = [SEEN_BY_ONE["bytes of the file"]]
    proof = prove_pdf(
        pages_pdf(f"Number {first} on file"), passphrase=None, places=places, check=watched
    )
    assert proof.holds
    second = with_hyphens(never_assigned(AREAS[1], 0)).encode()
    assert second in watched.copies[-1]


def test_every_number_is_nobodys_and_unlike_the_others() -> None:
    numbers = [never_assigned(area, index) for area in AREAS for index in range(400)]
    numbers += [never_assigned_from("a seed", index) for index in range(20)]
    assert len(set(numbers)) == len(numbers)
    for number in numbers:
        assert len(number) == 9
        assert not is_possible_ssn(number)
        assert not is_itin(number)
    for index in range(399):
        pair = never_assigned("666", index), never_assigned("666", index + 1)
        assert sum(a != b for a, b in zip(*pair, strict=True)) > 2
