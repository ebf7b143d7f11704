"""A secret shows itself through `reveal` and in no other way."""

import copy
import dataclasses
import json
import logging
import pickle
import traceback

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packets.base.secret import Secret

TEXT = "walnut-harbor-000-12-3456"
SECRET = Secret(TEXT)
TEXTS = st.text(st.characters(exclude_categories=("Cs",)))


@dataclasses.dataclass(frozen=True)
class Holder:
    passphrase: Secret


@pytest.mark.parametrize(
    "shown",
    [
        repr(SECRET),
        str(SECRET),
        f"{SECRET}",
        f"{SECRET!r:>40}",
        f"{SECRET:>40}",
        "%s %r" % (SECRET, SECRET),  # noqa: UP031 - the old way is one of the ways
        "{} {!r}".format(SECRET, SECRET),  # noqa: UP032 - so is this one
        repr(Holder(SECRET)),
        repr([SECRET]),
        repr({SECRET: SECRET}),
        json.dumps([SECRET], default=str),
        json.dumps([SECRET], default=repr),
    ],
)
def test_no_way_of_printing_shows_it(shown: str) -> None:
    assert "***" in shown
    assert "walnut" not in shown
    assert "3456" not in shown


def test_a_log_record_does_not_show_it(caplog: pytest.LogCaptureFixture) -> None:
    with caplog.at_level(logging.DEBUG):
        logging.getLogger("test").warning("opened with %s %r", SECRET, Holder(SECRET))
    assert "***" in caplog.text
    assert "walnut" not in caplog.text


def test_a_traceback_with_local_variables_does_not_show_it() -> None:
    def fail(secret: Secret) -> None:
        held = Holder(secret)
        raise RuntimeError(f"cannot use {held}")

    with pytest.raises(RuntimeError) as failed:
        fail(SECRET)
    shown = traceback.TracebackException.from_exception(failed.value, capture_locals=True)
    assert "walnut" not in "".join(shown.format())


@pytest.mark.parametrize(
    "leave", [pickle.dumps, copy.copy, copy.deepcopy, json.dumps, lambda it: pickle.dumps([it])]
)
def test_it_does_not_leave_its_process_by_accident(leave: object) -> None:
    assert callable(leave)
    with pytest.raises(TypeError) as refused:
        leave(SECRET)
    assert "walnut" not in str(refused.value)


def test_it_has_no_dictionary_to_look_into() -> None:
    with pytest.raises(TypeError):
        vars(SECRET)


def test_it_cannot_be_compared_with_a_plain_text() -> None:
    assert SECRET != TEXT
    assert SECRET.__eq__(TEXT) is NotImplemented


@given(TEXTS, TEXTS)
def test_equality_hash_and_length_are_those_of_the_text(one: str, other: str) -> None:
    assert (Secret(one) == Secret(other)) is (one == other)
    assert Secret(one) == Secret(one)
    assert hash(Secret(one)) == hash(Secret(one))
    assert len(Secret(one)) == len(one)
    assert Secret(one).reveal() == one
