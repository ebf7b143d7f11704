"""Work in a copy of the process gives what the same work gives here."""

import os
import signal
import sys

import pytest

from packets.base import alongside as module
from packets.base.alongside import alongside
from packets.base.errors import Damaged
from packets.base.secret import Secret

ON_LINUX = pytest.mark.skipif(
    sys.platform != "linux" or len(os.sched_getaffinity(0)) < 2, reason="no copy is made here"
)


@pytest.fixture(params=["in a copy", "here"])
def either_way(request, monkeypatch):
    if request.param == "here":
        monkeypatch.setattr(module, "may_copy", lambda: False)
    return request.param


def test_the_result_is_that_of_the_work(either_way):
    with alongside(lambda: sum(range(10))) as under_way:
        assert under_way.result() == 45


def test_a_refusal_comes_back_with_its_place_and_remedy(either_way):
    def refused() -> None:
        raise Damaged("the file is broken", where="documents/a.pdf", remedy="Scan it again.")

    with alongside(refused) as under_way, pytest.raises(Damaged) as caught:
        under_way.result()
    assert caught.value.where == "documents/a.pdf"
    assert caught.value.remedy == "Scan it again."


def test_a_fault_is_raised_as_it_is(either_way):
    with alongside(lambda: 1 // 0) as under_way, pytest.raises(ZeroDivisionError):
        under_way.result()


@ON_LINUX
def test_the_work_runs_in_another_process():
    with alongside(os.getpid) as under_way:
        assert under_way.result() != os.getpid()


@ON_LINUX
def test_a_secret_comes_back_from_a_copy_as_a_secret():
    with alongside(lambda: (os.getpid(), Secret("667"))) as under_way:
        process, secret = under_way.result()
    assert process != os.getpid()
    assert isinstance(secret, Secret)
    assert secret == Secret("667")


@ON_LINUX
def test_what_cannot_be_sent_is_made_here():
    with alongside(lambda: (os.getpid(), lambda: 4)) as under_way:
        process, made = under_way.result()
    assert process == os.getpid()
    assert made() == 4


@ON_LINUX
def test_work_whose_copy_is_killed_is_done_here():
    here = os.getpid()

    def work() -> int:
        if os.getpid() != here:
            os.kill(os.getpid(), signal.SIGKILL)
        return os.getpid()

    with alongside(work) as under_way:
        assert under_way.result() == here


@ON_LINUX
def test_leaving_early_ends_the_copy():
    def forever() -> None:
        while True:
            signal.pause()

    with alongside(forever) as under_way:
        child = under_way._child
    with pytest.raises(ProcessLookupError):
        os.kill(child, 0)


@ON_LINUX
def test_a_large_result_does_not_block():
    with alongside(lambda: b"x" * 5_000_000) as under_way:
        assert len(under_way.result()) == 5_000_000
