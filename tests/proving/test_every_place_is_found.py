"""Each place: the planted number is there, the check finds it, and finds nothing without it."""

import io

import pypdf
import pytest
from proof_samples import READERS, pages_pdf, place_named

from packets.identifiers.kinds import MaskPolicy
from packets.outbound.check import check_pdf
from packets.outbound.records import Verdict
from packets.proving.copies import copy_of
from packets.proving.numbers import as_known, with_hyphens
from packets.proving.place import Place
from packets.proving.places import PLACES
from packets.proving.prove import prove_pdf
from packets.proving.records import Outcome, Told

PLAIN = pages_pdf("Dear client, here is your copy.")
NUMBER, OTHER = "666183457", "000472918"


def planted(place: Place, number: str) -> bytes:
    copy = copy_of(PLAIN, None)
    place.plant(copy, number)
    return copy.saved()


def judged(data: bytes, *told: str) -> Verdict:
    known = [as_known(digits) for digits in told]
    return check_pdf(data, name="a.pdf", passphrase=None, known=known, policy=MaskPolicy())


def named(place: Place) -> str:
    return f"{place.family}: {place.name}"


@pytest.mark.parametrize("place", PLACES, ids=named)
def test_the_planted_number_is_found(place: Place) -> None:
    (row,) = prove_pdf(PLAIN, passphrase=None, places=[place]).rows
    assert row.outcome is (Outcome.HELD_UNREAD if place.unread else Outcome.FOUND)
    assert set(row.seen_by) <= {*READERS, "files inside the file"}
    assert (row.family, row.place, row.told) == (place.family, place.name, place.told)


@pytest.mark.parametrize("place", [p for p in PLACES if p.told is Told.KNOWN], ids=named)
def test_another_number_in_its_place_is_not_taken_for_the_one_that_was_told(place: Place) -> None:
    number = OTHER if place.bare else with_hyphens(OTHER)
    verdict = judged(planted(place, number), NUMBER)
    assert not [seen for seen in verdict.sightings if seen.how_sure == "known number"]


@pytest.mark.parametrize(
    "place", [p for p in PLACES if p.told is Told.UNKNOWN and not p.unread], ids=named
)
def test_a_masked_number_in_its_place_is_no_sighting(place: Place) -> None:
    verdict = judged(planted(place, "XXX-XX-3457"))
    assert verdict.sightings == ()


@pytest.mark.parametrize("place", PLACES, ids=named)
def test_the_copy_differs_by_the_number_alone(place: Place) -> None:
    """Two numbers make two files: what is found is the number, not the trace of planting."""
    if place.unread:
        pytest.skip("what is packed or locked is not compared")
    spell = str if place.bare else with_hyphens
    first, second = (planted(place, spell(number)) for number in (NUMBER, OTHER))
    assert first != second
    assert first == planted(place, spell(NUMBER)), "the same number makes the same copy"


def test_other_libraries_see_what_was_planted() -> None:
    written = with_hyphens(NUMBER)

    def reader_of(family: str, name: str) -> pypdf.PdfReader:
        return pypdf.PdfReader(io.BytesIO(planted(place_named(family, name), written)))

    assert written in reader_of("text on a page", "in a sentence").pages[0].extract_text()
    assert written in reader_of("hidden text", "invisible (render mode 3)").pages[0].extract_text()
    information = reader_of("information and metadata", "title").metadata
    assert information is not None
    assert written in str(information.title)
    assert written in reader_of("outlines and destinations", "outline title").outline[0]["/Title"]
    note = reader_of("annotations", "note").pages[0]["/Annots"][0].get_object()
    assert written in note["/Contents"]
    files = reader_of("files inside the file", "text").attachments
    assert written.encode() in files["note.txt"][0]
    labels = reader_of("outlines and destinations", "page label").page_labels
    assert labels == [f"{written}-1"]
    field = reader_of("form fields", "value").get_fields()
    assert field is not None
    assert field["f1_06"]["/V"] == written


def test_there_are_places_of_every_family_and_half_are_not_told() -> None:
    told = [place.told for place in PLACES]
    assert len(PLACES) > 250
    assert len({named(place) for place in PLACES}) == len(PLACES)
    assert 0.4 < told.count(Told.UNKNOWN) / len(told) < 0.6
    assert len({place.family for place in PLACES}) == 16
