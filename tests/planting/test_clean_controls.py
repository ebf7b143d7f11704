"""Look-alikes stay: nothing is masked, not a pixel changes, and the check is quiet."""

import pytest
from look_alike_controls import CONTROLS
from masking_run import known_number, mask
from other_readers import by_pdfium
from pixels import differs_outside

from packets.identifiers.kinds import ALL_KINDS, MaskPolicy
from packets.outbound.check import check_pdf

KNOWN = (known_number("000-12-3456"),)


@pytest.mark.parametrize("make", CONTROLS.values(), ids=CONTROLS)
def test_a_page_of_look_alikes_stays_as_it_is(make):
    pdf = make()
    result = mask(pdf, KNOWN)
    assert result.masks == ()
    assert result.unread == ()
    assert by_pdfium(result.pdf) == by_pdfium(pdf)
    assert differs_outside(pdf, result.pdf, [], by=0) == 0
    for each in (pdf, result.pdf):
        verdict = check_pdf(
            each, name="a.pdf", passphrase=None, known=KNOWN, policy=MaskPolicy(kinds=ALL_KINDS)
        )
        assert (verdict.sightings, verdict.unread) == ((), ())


def test_there_are_at_least_twenty_controls():
    assert len({make() for make in CONTROLS.values()}) >= 20
