"""A process that was made early does what the same work does here."""

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from packets.base import at_hand as module
from packets.base.at_hand import WorkPlace, at_hand
from packets.base.errors import Damaged
from packets.base.one_process import in_one_process
from packets.base.progress import Step, silent
from packets.base.secret import Secret

ON_LINUX = pytest.mark.skipif(
    sys.platform != "linux" or len(os.sched_getaffinity(0)) < 2, reason="no process is made here"
)


@pytest.fixture(params=[pytest.param("apart", marks=ON_LINUX), "here"])
def either_way(request, monkeypatch):
    if request.param == "here":
        monkeypatch.setattr(module, "may_copy", lambda: False)
    return request.param


def place(function):
    return WorkPlace("orders", function)


def test_the_result_is_that_of_the_work_order_after_order(either_way):
    with at_hand(place("process_and_order")) as process:
        results = [process.do(order, silent) for order in ("one", "two")]
    assert [order for _, order in results] == ["one", "two"]
    assert len({number for number, _ in results}) == 1
    assert (results[0][0] == os.getpid()) == (either_way == "here")


def test_progress_is_told_step_by_step(either_way):
    told = []
    with at_hand(place("three_steps")) as process:
        assert process.do(7, told.append) == 7
    assert told == [Step("working", "", done, 3) for done in range(3)]


def test_a_refusal_comes_back_and_the_next_order_is_done(either_way):
    with at_hand(place("refused")) as process:
        for where in ("a.pdf", "b.pdf"):
            with pytest.raises(Damaged) as caught:
                process.do(where, silent)
            assert (caught.value.where, caught.value.remedy) == (where, "Scan it again.")


def test_a_fault_is_raised_as_it_is(either_way):
    with at_hand(place("fault")) as process:
        with pytest.raises(ZeroDivisionError):
            process.do(0, silent)
        assert process.do(1, silent) == 1


def test_a_process_that_dies_leaves_its_work_to_its_maker(either_way):
    with at_hand(place("killed_where_it_waits")) as process:
        assert process.do(os.getpid(), silent) == "done here"
        assert process.do(os.getpid(), silent) == "done here"


def test_what_cannot_be_sent_is_made_here(either_way):
    with at_hand(place("not_to_be_sent")) as process:
        assert process.do(4, silent)() == 4


@ON_LINUX
def test_secrets_go_there_and_back_as_secrets():
    with at_hand(place("process_and_order")) as process:
        number, (secret, more) = process.do((Secret("667"), [b"x" * 3_000_000]), silent)
    assert number != os.getpid()
    assert isinstance(secret, Secret)
    assert (secret, len(more[0])) == (Secret("667"), 3_000_000)


@ON_LINUX
def test_it_is_killed_with_the_block_and_leaves_no_dead_process():
    with at_hand(place("process_and_order")) as process:
        number, _ = process.do("order", silent)
    with pytest.raises(ProcessLookupError):
        os.kill(number, 0)


def test_none_is_made_where_work_is_kept_in_one_process():
    with in_one_process(), at_hand(place("process_and_order")) as process:
        assert process.do("order", silent) == (os.getpid(), "order")


@ON_LINUX
def test_it_ends_when_its_maker_is_killed(tmp_path):
    script = (
        "import os, signal, sys\n"
        "from packets.base.at_hand import WorkPlace, at_hand\n"
        "from packets.base.progress import silent\n"
        "with at_hand(WorkPlace('orders', 'process_and_order')) as process:\n"
        "    print(process.do(1, silent)[0], flush=True)\n"
        "    os.kill(os.getpid(), signal.SIGKILL)\n"
    )
    paths = os.pathsep.join(sys.path)
    run = subprocess.run(
        [sys.executable, "-c", script],
        capture_output=True,
        env={**os.environ, "PYTHONPATH": paths},
        timeout=60,
        check=False,
    )
    number = int(run.stdout)
    waited = 0
    while _runs(number):
        waited += 1
        assert waited < 600, "still there after half a minute"
        time.sleep(0.05)


def _runs(number: int) -> bool:
    try:
        with Path(f"/proc/{number}/stat").open() as stat:
            return stat.read().rsplit(")", 1)[1].split()[0] != "Z"
    except FileNotFoundError:
        return False
