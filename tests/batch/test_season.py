"""A season: one outcome for each client, whatever becomes of the others."""

import contextlib
import os
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path

import pytest

from packets.base.errors import ExitStatus, InputRefused, UsageError
from packets.batch.client_folders import client_folders
from packets.batch.local_workers import WorkerLost
from packets.batch.records import BatchOrder, ClientJob, Ending, JobResult
from packets.batch.root_lock import root_locked
from packets.batch.season import run_batch
from packets.batch.workforce import Workforce

DONE = JobResult(Ending.DONE, ExitStatus.CLEAN, pages=3, seconds=0.5, recorded=False)
HELD = JobResult(Ending.HELD, ExitStatus.HELD, recorded=False)
REFUSED = JobResult(Ending.REFUSED, ExitStatus.REFUSED, recorded=False, note="broken")


def task(job: ClientJob) -> JobResult:
    """What becomes of a client is told by its name."""
    name = Path(job.client).name
    if name.startswith("lost"):
        raise WorkerLost("the worker process died (signal 9)")
    if name.startswith("odd"):
        raise ValueError("666-12-3456")
    return {"held": HELD, "refused": REFUSED}.get(name.partition("-")[0], DONE)


def lay_out(root: Path, *names: str) -> Path:
    for name in names:
        (root / name / "documents").mkdir(parents=True)
        (root / name / "engagement.toml").touch()
    return root


def threads() -> Workforce:
    return Workforce(ThreadPoolExecutor(2), 2, "2 threads")


def test_no_client_stops_another_and_each_has_its_line(tmp_path):
    root = lay_out(tmp_path, "lost-1", "done-1", "odd-1", "held-1", "refused-1", "done-2")
    report = run_batch(BatchOrder(root, "client-copy"), threads, task=task)
    told = {one.client.name: (one.ending, one.status) for one in report.outcomes}
    assert told == {
        "done-1": (Ending.DONE, ExitStatus.CLEAN),
        "done-2": (Ending.DONE, ExitStatus.CLEAN),
        "held-1": (Ending.HELD, ExitStatus.HELD),
        "lost-1": (Ending.FAILED, ExitStatus.FAULT),
        "odd-1": (Ending.FAILED, ExitStatus.FAULT),
        "refused-1": (Ending.REFUSED, ExitStatus.REFUSED),
    }
    assert list(told) == sorted(told)
    why = {one.client.name: " ".join(one.why) for one in report.outcomes}
    assert "signal 9" in why["lost-1"]
    assert "ValueError" in why["odd-1"]
    assert "3456" not in why["odd-1"]


@pytest.mark.parametrize(
    ("names", "worst"),
    [
        (["done-1"], ExitStatus.CLEAN),
        (["done-1", "held-1"], ExitStatus.HELD),
        (["refused-1", "held-1"], ExitStatus.REFUSED),
        (["refused-1", "lost-1", "done-1"], ExitStatus.FAULT),
    ],
)
def test_the_status_is_the_worst_of_all(tmp_path, names, worst):
    order = BatchOrder(lay_out(tmp_path, *names), "client-copy")
    assert run_batch(order, threads, task=task).status is worst


class Ahead(Executor):
    """Does nothing until somebody waits; counts how many jobs are in line at once."""

    def __init__(self) -> None:
        self.waiting: list[Future] = []
        self.most = 0
        self.ended = False

    def submit(self, fn, /, *args, **kwargs):
        future: Future = Future()
        self.waiting.append(future)
        self.most = max(self.most, sum(not one.done() for one in self.waiting))
        if len(self.waiting) % 8 == 0 or len(self.waiting) == 50:
            for one in self.waiting:
                if not one.done():
                    one.set_result(fn(*args))
        return future

    def shutdown(self, wait=True, *, cancel_futures=False):
        self.ended = True


def test_only_some_jobs_are_in_line_and_the_workers_are_sent_away(tmp_path):
    executor = Ahead()
    order = BatchOrder(lay_out(tmp_path, *(f"done-{n}" for n in range(50))), "client-copy")
    steps = []
    report = run_batch(order, lambda: Workforce(executor, 2, "two"), steps.append, task)
    assert len(report.outcomes) == 50
    assert executor.most <= 8
    assert executor.ended
    assert [step.done for step in steps] == list(range(51))
    assert "50 done; " in steps[-1].detail
    assert "clients a minute" in steps[-1].detail


def test_lost_workers_leave_no_client_without_a_line(tmp_path):
    class Gone(Executor):
        def submit(self, fn, /, *args, **kwargs):
            future: Future = Future()
            future.cancel()
            future.set_running_or_notify_cancel()
            return future

    order = BatchOrder(lay_out(tmp_path, "done-1", "done-2"), "client-copy")
    report = run_batch(order, lambda: Workforce(Gone(), 2, "gone"), task=task)
    assert [one.ending for one in report.outcomes] == [Ending.FAILED] * 2


def test_workers_that_take_no_more_jobs_leave_no_client_without_a_line(tmp_path):
    class Tired(ThreadPoolExecutor):
        taken = 0

        def submit(self, fn, /, *args, **kwargs):
            self.taken += 1
            if self.taken > 1:
                raise RuntimeError("666-12-3456")
            return super().submit(fn, *args, **kwargs)

    order = BatchOrder(lay_out(tmp_path, "done-1", "done-2", "done-3"), "client-copy")
    report = run_batch(order, lambda: Workforce(Tired(1), 1, "tired"), task=task)
    endings = [one.ending for one in report.outcomes]
    assert sorted(endings) == [Ending.DONE, Ending.FAILED, Ending.FAILED]
    assert "3456" not in " ".join(why for one in report.outcomes for why in one.why)


def test_the_workers_are_sent_away_when_the_batch_is_stopped(tmp_path):
    executor = Ahead()
    order = BatchOrder(lay_out(tmp_path, *(f"done-{n}" for n in range(8))), "client-copy")

    def stop(_):
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        run_batch(order, lambda: Workforce(executor, 2, "two"), stop, task)
    assert executor.ended
    with root_locked(tmp_path):
        pass  # and the folder is free again


def test_a_second_batch_on_the_same_folder_is_refused(tmp_path):
    order = BatchOrder(lay_out(tmp_path, "done-1"), "client-copy")
    with root_locked(tmp_path), pytest.raises(UsageError, match="another batch"):
        run_batch(order, threads, task=task)
    assert run_batch(order, threads, task=task).status is ExitStatus.CLEAN


def nobody() -> Workforce:
    raise AssertionError("nobody is to be hired")


def test_what_would_fail_for_every_client_is_told_before_anybody_is_hired(tmp_path):
    lay_out(tmp_path, "done-1")
    asking = tmp_path / "asking.toml"
    shipped = Path(__file__).resolve().parents[2] / "recipes" / "client-copy.toml"
    text = shipped.read_text().replace('passphrase = "generate"', 'passphrase = "ask"')
    asking.write_text(text.replace('name = "client-copy"', 'name = "asking"'))
    with pytest.raises(UsageError, match="nobody is asked"):
        run_batch(BatchOrder(tmp_path, str(asking)), nobody, task=task)
    with pytest.raises(UsageError, match="no recipe of this name"):
        run_batch(BatchOrder(tmp_path, "client-cop"), nobody, task=task)
    with pytest.raises(UsageError, match="no client folder"):
        run_batch(BatchOrder(tmp_path / "done-1" / "documents", "client-copy"), nobody, task=task)


def test_jobs_hold_whole_paths_digests_and_nothing_else(tmp_path, monkeypatch):
    lay_out(tmp_path / "clients", "done-1")
    jobs = []
    monkeypatch.chdir(tmp_path)

    def listening(job: ClientJob) -> JobResult:
        jobs.append(job)
        return DONE

    order = BatchOrder(Path("clients"), "client-copy", key_password_file=Path("word.txt"))
    run_batch(order, threads, task=listening)
    (job,) = jobs
    assert job.client == str(tmp_path / "clients" / "done-1")
    assert job.key_password_file == str(tmp_path / "word.txt")
    assert len(job.recipe_sha256) == len(job.program) == 64
    assert replace(job, client="", key_password_file="").recipe == "client-copy"


def test_the_largest_clients_come_first_and_nothing_inside_one_counts(tmp_path):
    lay_out(tmp_path, "a", "b", "deep/c", ".hidden/d", "a/documents/inside")
    (tmp_path / "b" / "documents" / "scan.pdf").write_bytes(b"x" * 900)
    (tmp_path / "deep" / "c" / "documents" / "scan.pdf").write_bytes(b"x" * 100)
    (tmp_path / "link").symlink_to(tmp_path / "a")
    found = [path.relative_to(tmp_path).as_posix() for path in client_folders(tmp_path)]
    assert found == ["b", "deep/c", "a"]
    assert client_folders(tmp_path / "b") == (tmp_path / "b",)


@pytest.mark.skipif(os.geteuid() == 0, reason="an administrator may read every folder")
def test_a_folder_that_cannot_be_read_is_refused_rather_than_passed_over(tmp_path):
    lay_out(tmp_path, "a", "closed/b")
    (tmp_path / "closed").chmod(0)
    with contextlib.ExitStack() as stack:
        stack.callback((tmp_path / "closed").chmod, 0o700)
        with pytest.raises(InputRefused):
            client_folders(tmp_path)
