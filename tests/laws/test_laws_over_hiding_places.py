"""What holds for every document made of the operators and hiding places of the planting kit."""

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from masking_run import known_number, mask
from object_walk import places_with_number
from other_readers import all_digits
from pixels import differs_outside
from places_around_pages import PLANTS
from places_by_operator import PRINTED_TWICE, SELF_FOUND
from places_in_annotations import ACTIONS, FIELDS
from plain_page import document_with
from planted_pages import GOING, NUMBER, as_bytes, form

from packets.identifiers.kinds import ALL_KINDS, MaskPolicy
from packets.outbound.check import check_pdf
from packets.outbound.records import Judgement

KNOWN = (known_number(NUMBER),)
SHOWN = {**SELF_FOUND, **PRINTED_TWICE}
ROOM = 30
"""Points between one shown number and the next."""
AROUND = {plant.__name__: plant for plant in PLANTS}

shown = st.lists(st.tuples(st.sampled_from(sorted(SHOWN)), st.booleans()), min_size=1, max_size=3)
around = st.lists(st.sampled_from(sorted(AROUND)), max_size=3, unique=True)
field = st.none() | st.sampled_from(sorted(FIELDS))
action = st.none() | st.sampled_from(sorted(ACTIONS))

LAW = settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=True
)


def document_of(numbers, plants, of_field, of_action) -> bytes:
    """One page with numbers one below the other, some in a form, and plants around it."""
    direct, formed = [], []
    for at, (name, in_form) in enumerate(numbers):
        place = b"q 1 0 0 1 0 %d cm " % (40 - ROOM * at)
        (formed if in_form else direct).append(place + SHOWN[name] + b" Q Q Q")
    content = b"\n".join([*direct, b"/X1 Do"])
    document = document_with(content, {}, {"XObject": {"X1": form(b"\n".join(formed))}})
    if of_field:
        FIELDS[of_field](document)
    if of_action:
        document.Root.OpenAction = ACTIONS[of_action]
    for name in plants:
        AROUND[name](document)
    return as_bytes(document)


@LAW
@given(numbers=shown, plants=around, of_field=field, of_action=action)
def test_any_document_masked_is_clean_for_every_reader_and_masking_it_again_changes_nothing(
    numbers, plants, of_field, of_action
):
    once = mask(document_of(numbers, plants, of_field, of_action), KNOWN)
    assert not once.unread
    assert once.masks  # stray Q operators may print two of them over one another
    assert places_with_number(once.pdf) == []
    assert not any(GOING in digits for digits in all_digits(once.pdf).values())
    verdict = check_pdf(
        once.pdf, name="a.pdf", passphrase=None, known=KNOWN, policy=MaskPolicy(kinds=ALL_KINDS)
    )
    assert (verdict.judgement, verdict.sightings) == (Judgement.CLEAN, ())
    twice = mask(once.pdf, KNOWN)
    assert (twice.masks, twice.unread) == ((), ())
    assert differs_outside(once.pdf, twice.pdf, [], by=0) == 0
