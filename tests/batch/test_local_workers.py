"""Each job has a process to itself for as long as it lasts, and its own end."""

import errno
import os
import signal
import subprocess
import sys
import time
from concurrent.futures import CancelledError, Executor
from pathlib import Path

import batch_jobs
import pytest

from packets.base.errors import Damaged, OurFault
from packets.base.secret import Secret
from packets.batch.local_workers import LocalWorkers, TooSlow, WorkerLost


@pytest.fixture
def workers():
    with LocalWorkers(2, warm=batch_jobs.WARM) as crew:
        yield crew


def is_there(process: int) -> bool:
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    return True


def wait_until(happened) -> None:
    for _ in range(500):
        if happened():
            return
        time.sleep(0.02)
    raise AssertionError("it did not happen within ten seconds")


def test_the_folder_in_which_one_stands_lends_them_no_code(tmp_path, monkeypatch):
    """A copy of the repository lies there, say, and another version is installed."""
    (tmp_path / "packets").mkdir()
    (tmp_path / "packets" / "__init__.py").write_text("raise SystemExit(3)\n")
    monkeypatch.chdir(tmp_path)
    with LocalWorkers(1, warm=batch_jobs.WARM) as crew:
        assert crew.submit(batch_jobs.twice, 4).result(30) == 8


def test_they_are_an_executor_that_answers_in_the_order_of_asking(workers):
    assert isinstance(workers, Executor)
    assert list(workers.map(batch_jobs.twice, range(20))) == list(range(0, 40, 2))


def test_a_worker_lives_for_many_jobs_and_there_are_no_more_than_were_asked_for(workers):
    processes = set(workers.map(batch_jobs.process, range(30)))
    assert os.getpid() not in processes
    assert len(processes) <= 2


def test_a_worker_that_dies_fails_its_own_job_and_no_other(workers):
    jobs = [batch_jobs.twice, batch_jobs.die, batch_jobs.twice, batch_jobs.twice]
    futures = [workers.submit(job, number) for number, job in enumerate(jobs)]
    with pytest.raises(WorkerLost, match=r"died \(signal 9\)"):
        futures[1].result()
    assert [futures[number].result() for number in (0, 2, 3)] == [0, 4, 6]


def test_a_worker_that_ends_by_itself_is_told_with_its_status(workers):
    with pytest.raises(WorkerLost, match="exit status 7"):
        workers.submit(batch_jobs.leave).result()


def test_a_job_over_its_time_is_ended_and_the_others_go_on():
    with LocalWorkers(2, time_limit=0.4, warm=batch_jobs.WARM) as crew:
        slow = crew.submit(batch_jobs.hang)
        others = [crew.submit(batch_jobs.twice, n) for n in range(4)]
        with pytest.raises(TooSlow, match="took longer than"):
            slow.result()
        assert [other.result() for other in others] == [0, 2, 4, 6]


def test_the_time_to_start_is_not_the_clients_time():
    with LocalWorkers(1, time_limit=0.2, warm="packets.cli.batch") as crew:
        assert crew.submit(batch_jobs.twice, 4).result() == 8


def test_a_worker_that_cannot_start_fails_its_job_instead_of_beginning_for_ever():
    with LocalWorkers(1, warm="no_such_module_at_all") as crew:
        futures = [crew.submit(batch_jobs.twice, n) for n in range(2)]
        for future in futures:
            with pytest.raises(WorkerLost):
                future.result()


def test_a_machine_without_room_for_a_process_fails_the_jobs_instead_of_leaving_them(monkeypatch):
    def full(*_, **__):
        raise OSError(errno.EAGAIN, "no room")

    with LocalWorkers(2, warm=batch_jobs.WARM) as crew:
        monkeypatch.setattr(subprocess, "Popen", full)
        futures = [crew.submit(batch_jobs.twice, n) for n in range(3)]
        for future in futures:
            with pytest.raises(WorkerLost, match="no process could be started"):
                future.result(timeout=10)
        monkeypatch.undo()
        assert crew.submit(batch_jobs.twice, 3).result() == 6


def test_a_refusal_comes_back_as_it_was(workers):
    with pytest.raises(Damaged) as caught:
        workers.submit(batch_jobs.refuse).result()
    assert (caught.value.where, caught.value.remedy) == ("documents/a.pdf", "Scan it again.")


@pytest.mark.parametrize("job", [batch_jobs.blurt, batch_jobs.unsendable])
def test_what_cannot_travel_is_told_by_its_kind_and_never_by_its_words(workers, job):
    with pytest.raises(OurFault, match="a job ended in an error") as caught:
        workers.submit(job).result()
    assert "666" not in str(caught.value)


def test_a_secret_is_refused_before_it_reaches_a_worker(workers):
    with pytest.raises(TypeError, match="a secret does not leave its process"):
        workers.submit(batch_jobs.twice, Secret("x"))


def test_a_worker_makes_no_copies_of_itself(workers):
    here, there = workers.submit(batch_jobs.process_of_work_alongside).result()
    assert here == there


def test_a_worker_is_replaced_after_its_share_of_jobs():
    with LocalWorkers(1, warm=batch_jobs.WARM, renew=2) as crew:
        processes = [crew.submit(batch_jobs.process).result() for _ in range(4)]
    assert processes[0] == processes[1] != processes[2] == processes[3]


def test_sent_away_in_mid_work_they_leave_nobody_waiting_and_no_process(tmp_path):
    note = tmp_path / "process"
    crew = LocalWorkers(1, warm=batch_jobs.WARM)
    at_work, in_line = crew.submit(batch_jobs.tell_and_hang, note), crew.submit(batch_jobs.process)
    wait_until(lambda: note.exists() and note.read_text())
    crew.shutdown(cancel_futures=True)
    with pytest.raises(WorkerLost):
        at_work.result(timeout=5)
    with pytest.raises(CancelledError):
        in_line.result(timeout=5)
    wait_until(lambda: not is_there(int(note.read_text())))
    with pytest.raises(RuntimeError):
        crew.submit(batch_jobs.process)


def test_nobody_needs_to_be_hired_to_be_sent_away():
    crew = LocalWorkers(2)
    crew.shutdown()
    crew.shutdown()


PARENT = """
import sys, batch_jobs
from pathlib import Path
from packets.batch.local_workers import LocalWorkers
crew = LocalWorkers(1, warm=batch_jobs.WARM)
crew.submit(batch_jobs.tell_and_hang, Path(sys.argv[1])).result()
"""


@pytest.mark.parametrize("how", [signal.SIGKILL, signal.SIGTERM])
def test_a_worker_ends_with_the_process_that_hired_it(tmp_path, how):
    note = tmp_path / "process"
    path = os.pathsep.join([str(Path(__file__).parent), *filter(None, sys.path)])
    parent = subprocess.Popen(
        [sys.executable, "-c", PARENT, str(note)], env={**os.environ, "PYTHONPATH": path}
    )
    wait_until(lambda: note.exists() and note.read_text())
    parent.send_signal(how)
    parent.wait()
    wait_until(lambda: not is_there(int(note.read_text())))
