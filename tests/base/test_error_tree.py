"""Every error has its exit status and its remedy, and travels whole."""

import pickle

import pytest

from packets.base import errors
from packets.base.errors import (
    Damaged,
    DeliveryFailed,
    ExitStatus,
    Fault,
    FileFaults,
    Held,
    InputRefused,
    Locked,
    OurFault,
    OverLimit,
    PacketsError,
    UsageError,
)

STATUS = {
    Held: 1,
    UsageError: 2,
    InputRefused: 3,
    Damaged: 3,
    Locked: 3,
    OverLimit: 3,
    DeliveryFailed: 4,
    OurFault: 70,
    PacketsError: 70,
}
FAULT = Fault("line 3, part[0].take", "is not a category", "form-*", "form-1040")


@pytest.mark.parametrize(("kind", "status"), STATUS.items())
def test_each_error_carries_its_exit_status_and_a_remedy(
    kind: type[PacketsError], status: int
) -> None:
    error = kind("something happened", where="file.pdf")
    assert error.exit_code == status
    assert error.remedy.endswith(".")
    assert str(error) == "file.pdf: something happened"


def test_no_error_was_forgotten_here() -> None:
    declared = {
        thing
        for thing in vars(errors).values()
        if isinstance(thing, type) and issubclass(thing, PacketsError)
    }
    assert declared == {*STATUS, FileFaults}


def test_none_of_them_is_a_value_error() -> None:
    """An `except ValueError` around a reader must not swallow our own refusals."""
    assert not [kind for kind in STATUS if issubclass(kind, (ValueError, OSError))]


def test_exit_statuses_are_the_contract_of_the_command_line() -> None:
    assert {status.name: status.value for status in ExitStatus} == {
        "CLEAN": 0,
        "HELD": 1,
        "USAGE": 2,
        "REFUSED": 3,
        "DELIVERY": 4,
        "FAULT": 70,
    }


def test_a_remedy_of_its_own_replaces_the_usual_one() -> None:
    assert Held("x", remedy="Do this.").remedy == "Do this."
    assert str(Held("x")) == "x"


@pytest.mark.parametrize("kind", STATUS)
def test_an_error_comes_whole_out_of_a_worker_process(kind: type[PacketsError]) -> None:
    error = kind("what", where="where", remedy="Do this.")
    back = pickle.loads(pickle.dumps(error))
    assert (type(back), str(back), back.remedy) == (kind, str(error), "Do this.")


def test_all_faults_of_a_file_are_told_at_once() -> None:
    error = FileFaults("recipe.toml", (FAULT, Fault("line 9", "is missing")))
    lines = str(error).splitlines()
    assert lines[0] == "recipe.toml: 2 faults in this file"
    assert lines[1].strip() == (
        "line 3, part[0].take: is not a category; allowed: form-*; did you mean 'form-1040'?"
    )
    assert lines[2].strip() == "line 9: is missing"
    assert error.exit_code == ExitStatus.USAGE
    assert "1 fault in" in str(FileFaults("recipe.toml", (FAULT,)))
