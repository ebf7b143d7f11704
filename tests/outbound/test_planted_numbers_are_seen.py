"""Every hiding place: a planted number is seen, and the same place with a mask is clean."""

import pytest
from outbound_plants import PLACES

from packets.base.secret import Secret
from packets.identifiers.kinds import Kind, KnownNumber, MaskPolicy
from packets.outbound.check import check_pdf
from packets.outbound.records import Judgement, Verdict

KNOWN = (KnownNumber(Kind.SSN, Secret("000123456")),)


def judged(data: bytes) -> Verdict:
    return check_pdf(data, name="a.pdf", passphrase=None, known=KNOWN, policy=MaskPolicy())


def assert_it_shows_no_number(verdict: Verdict) -> None:
    told = repr((verdict.file, verdict.sightings, verdict.unread))
    digits = "".join(char for char in told if char.isdigit())
    assert "00123456" not in digits
    assert "66123457" not in digits


@pytest.mark.parametrize("place", PLACES)
def test_a_known_number_is_seen(place: str) -> None:
    verdict = judged(PLACES[place]("000-12-3456"))
    assert verdict.judgement is Judgement.HELD
    assert any(seen.how_sure == "known number" for seen in verdict.sightings), verdict.unread
    assert_it_shows_no_number(verdict)


@pytest.mark.parametrize("place", PLACES)
def test_a_number_nobody_knows_is_seen_by_its_shape(place: str) -> None:
    verdict = judged(PLACES[place]("666-12-3457"))
    assert verdict.judgement is Judgement.HELD
    assert any(seen.kind == "ssn" for seen in verdict.sightings), verdict.unread
    assert_it_shows_no_number(verdict)


@pytest.mark.parametrize("place", PLACES)
def test_a_masked_number_in_the_same_place_is_clean(place: str) -> None:
    verdict = judged(PLACES[place]("XXX-XX-3456"))
    assert verdict.sightings == ()
    assert verdict.unread == ()
    assert verdict.judgement is Judgement.CLEAN
