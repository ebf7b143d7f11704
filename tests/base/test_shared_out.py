"""Work that two processes share out gives what one process gives, item by item."""

import os
import signal
import sys
import time
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packets.base import alongside as alongside_module
from packets.base import shared_out as module
from packets.base.errors import Damaged
from packets.base.one_process import in_one_process
from packets.base.shared_out import shared_out

ON_LINUX = pytest.mark.skipif(
    sys.platform != "linux" or len(os.sched_getaffinity(0)) < 2, reason="no copy is made here"
)


@pytest.fixture(params=[pytest.param("by two", marks=ON_LINUX), "here"])
def either_way(request, monkeypatch):
    if request.param == "here":
        for each in (module, alongside_module):
            monkeypatch.setattr(each, "may_copy", lambda: False)
    return request.param


@given(st.lists(st.integers(), max_size=40))
@settings(max_examples=25, deadline=None)
def test_each_item_is_done_and_stands_in_its_place(items):
    assert shared_out(items, lambda item: (item, -item)) == [(item, -item) for item in items]


def test_more_items_than_a_pipe_holds_tokens_are_all_done(either_way, monkeypatch):
    monkeypatch.setattr(module, "_MOST_TOKENS", 7)
    assert shared_out(range(100), lambda item: item * item) == [item * item for item in range(100)]


@ON_LINUX
def test_a_pipe_holds_all_tokens_at_once():
    count = 3 * module._MOST_TOKENS - 1
    assert shared_out(range(count), lambda item: item) == list(range(count))


def test_a_refusal_comes_through_whoever_meets_it(either_way):
    def work(item: int) -> int:
        if item == 11:
            raise Damaged("the file is broken", where="a.pdf")
        return item

    for _ in range(5):
        with pytest.raises(Damaged, match="broken"):
            shared_out(range(20), work)


@ON_LINUX
def test_both_processes_take_part_and_the_slow_one_takes_less():
    here = os.getpid()

    def work(_: int) -> int:
        time.sleep(0.05 if os.getpid() == here else 0.005)
        return os.getpid()

    done_by = shared_out(range(40), work)
    assert 0 < done_by.count(here) < 20


@ON_LINUX
def test_what_a_copy_dies_with_is_done_here():
    here = os.getpid()

    def work(item: int) -> int:
        if os.getpid() != here:
            os.kill(os.getpid(), signal.SIGKILL)
        time.sleep(0.01)
        return item

    assert shared_out(range(12), work) == list(range(12))


def test_no_copy_is_made_where_work_is_kept_in_one_process():
    with in_one_process():
        assert shared_out(range(4), lambda _: os.getpid()) == [os.getpid()] * 4


@ON_LINUX
def test_only_what_is_done_here_is_told():
    told, here = [], os.getpid()

    def work(_: int) -> int:
        time.sleep(0.002)
        return os.getpid()

    done_by = shared_out(range(30), work, told.append)
    assert told == [at for at, number in enumerate(done_by) if number == here]
    assert len(told) < 30


@ON_LINUX
def test_nothing_stays_open():
    open_files = Path("/proc/self/fd")
    before = len(list(open_files.iterdir()))
    for _ in range(3):
        shared_out(range(6), lambda item: item)
    assert len(list(open_files.iterdir())) == before
