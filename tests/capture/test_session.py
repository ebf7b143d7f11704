"""One signature, once; a recording that has begun is brought to its end."""

import json
import threading

import pytest
from open_page import signature

from packets.base.errors import Damaged, Held, InputRefused, OurFault
from packets.capture.session import Over, Session
from packets.handover.grant_records import RecordedGrant

SIGNED = json.dumps(signature()).encode()


def kept(drawn, at):
    """Stands for a grant on record."""
    return RecordedGrant(grant=(drawn, at), home=None)


def test_a_signature_is_kept_with_the_moment_and_its_time_zone():
    session = Session(kept)
    recorded = session.sign(SIGNED).result(60)
    session.close()
    drawn, at = recorded.grant
    assert (session.phase, session.recorded) == ("signed", recorded)
    assert drawn.png.startswith(b"\x89PNG")
    assert drawn.svg.startswith(b"<svg")
    assert at.utcoffset() is not None


def test_who_comes_second_is_too_late():
    session = Session(kept)
    session.sign(SIGNED).result(60)
    with pytest.raises(Over):
        session.sign(SIGNED)
    with pytest.raises(Over):
        session.decline()
    session.close()
    declined = Session(kept)
    declined.decline()
    with pytest.raises(Over):
        declined.sign(SIGNED)
    assert (declined.phase, declined.recorded) == ("declined", None)


@pytest.mark.parametrize(
    ("sent", "error"),
    [
        (b"nothing", InputRefused),
        (json.dumps(signature(points=2) | {"consent": False}).encode(), Held),
        (b'{"consent": true, "strokes": [[[1, 1, 0, 0]]]}', InputRefused),
    ],
)
def test_what_is_no_signature_leaves_the_page_open(sent, error):
    session = Session(kept)
    with pytest.raises(error):
        session.sign(sent)
    assert session.phase == "open"
    session.sign(SIGNED).result(60)
    session.close()
    assert session.phase == "signed"


def test_the_end_waits_for_a_recording_that_has_begun():
    begun, go_on = threading.Event(), threading.Event()

    def slowly(drawn, at):
        begun.set()
        assert go_on.wait(60)
        return kept(drawn, at)

    session = Session(slowly)
    session.sign(SIGNED)
    assert begun.wait(60)
    assert session.phase == "recording"
    threading.Timer(0.05, go_on.set).start()
    session.close()
    assert session.phase == "signed"
    assert session.recorded is not None


@pytest.mark.parametrize("error", [Damaged("the document is broken"), RuntimeError("987654321")])
def test_a_recording_that_fails_is_told_without_its_values(error):
    def failing(drawn, at):
        raise error

    session = Session(failing)
    with pytest.raises((Damaged, OurFault)):
        session.sign(SIGNED).result(60)
    session.close()
    assert session.phase == "failed"
    assert session.recorded is None
    assert "987654321" not in str(session.error)
