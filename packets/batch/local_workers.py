"""Processes of this machine behind `concurrent.futures.Executor`, each job apart from the others.

Each worker is a fresh interpreter that lives for many jobs. One that dies takes the
job along that it was at, and no other: that job's future gets `WorkerLost`. One that
is at a job for longer than the limit is ended, and the future gets `TooSlow`. A new
worker takes its place either way.
"""

import contextlib
import os
import pickle
import socket
import subprocess
import sys
import threading
import time
from collections import deque
from collections.abc import Callable
from concurrent.futures import Executor, Future
from multiprocessing.connection import Connection, Pipe, wait
from typing import Any, ParamSpec, TypeVar

from packets.base.errors import OurFault
from packets.batch.worker_process import READY

P = ParamSpec("P")
T = TypeVar("T")

WARM = "packets.batch.one_client"
"""What a worker imports before its first job."""
RENEW_AFTER = 200
"""Jobs after which a worker is replaced, so that what engines keep does not pile up."""
START_LIMIT = 120.0
"""Seconds in which a worker has to be ready."""


class WorkerLost(OurFault):
    """The process that worked on this job died."""

    default_remedy = "Build this client alone to see why; the other clients went on."


class SentAway(WorkerLost):
    """The workers were dismissed while they were at this job."""


class TooSlow(OurFault):
    """The job took longer than it may."""

    default_remedy = "Build this client alone, or give more minutes with --time-limit."


class _Job:
    def __init__(self, future: Future[Any], order: bytes) -> None:
        self.future, self.order = future, order


class _Worker:
    """One process, and the job that it is at."""

    def __init__(self, warm: str) -> None:
        ours, theirs = socket.socketpair()
        with theirs, ours:
            self.process = subprocess.Popen(  # noqa: S603 - this very interpreter
                [sys.executable, "-P", "-m", "packets.batch.worker_process", str(theirs.fileno())],
                stdin=subprocess.PIPE,
                # What engines print may repeat what they read from a page.
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
                pass_fds=(theirs.fileno(),),
                env={**os.environ, "OMP_THREAD_LIMIT": "1", "PYTHONPATH": _our_path()},
            )
            self.pipe = Connection(ours.detach())
        self.job: _Job | None = None
        self.ready = False
        self.since = time.monotonic()
        self.done = 0
        with contextlib.suppress(OSError):  # one that is dead shows when it is listened to
            self.pipe.send((sys.path, warm))

    def take(self, job: _Job) -> None:
        self.job, self.since = job, time.monotonic()
        with contextlib.suppress(OSError):
            self.pipe.send_bytes(job.order)

    def late_at(self, limit: float | None) -> float | None:
        """When its time is up; None for never."""
        if not self.ready:
            return self.since + START_LIMIT
        return self.since + limit if self.job and limit else None

    def end(self) -> str:
        """End it, whatever it does, and say how it ended."""
        self.process.kill()
        status = self.process.wait()
        self.pipe.close()
        if self.process.stdin:
            self.process.stdin.close()
        return f"signal {-status}" if status < 0 else f"exit status {status}"


def _our_path() -> str:
    """So that a fresh interpreter finds `packets` wherever this one has found it."""
    return os.pathsep.join(filter(None, sys.path))


class LocalWorkers(Executor):
    """Up to `size` workers; each job may take `time_limit` seconds, or as long as it wants.

    Jobs are functions of modules, with arguments that pickle. They run as `in_one_process`.
    """

    def __init__(
        self,
        size: int,
        *,
        time_limit: float | None = None,
        warm: str = WARM,
        renew: int = RENEW_AFTER,
    ) -> None:
        self.size = size
        self._limit, self._warm, self._renew = time_limit, warm, renew
        self._lock = threading.Lock()
        self._jobs: deque[_Job] = deque()
        self._crew: list[_Worker] = []
        self._closing = False
        self._stop = False
        self._bell, self._ring = Pipe(duplex=False)
        self._keeper: threading.Thread | None = None

    def submit(self, fn: Callable[P, T], /, *args: P.args, **kwargs: P.kwargs) -> Future[T]:
        """Put a job in line. Raises what pickling its arguments raises."""
        order = pickle.dumps((fn, args, kwargs))
        future: Future[T] = Future()
        with self._lock:
            if self._closing:
                raise RuntimeError("these workers take no more jobs")
            self._jobs.append(_Job(future, order))
            if self._keeper is None:
                self._keeper = threading.Thread(target=self._keep, daemon=True)
                self._keeper.start()
            self._ring.send_bytes(b"job")
        return future

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:  # noqa: FBT001, FBT002, RUF100 - as Executor has it
        """Take no more jobs. With `cancel_futures` those under way are ended, too."""
        with self._lock:
            closed, self._closing = self._closing, True
            self._stop = self._stop or cancel_futures
            keeper = self._keeper
            if cancel_futures:
                while self._jobs:
                    self._jobs.popleft().future.cancel()
            if keeper is not None:
                with contextlib.suppress(OSError):  # it has ended by itself
                    self._ring.send_bytes(b"end")
        if wait and keeper is not None:
            keeper.join()
        if keeper is None and not closed:
            self._bell.close()
            self._ring.close()

    def _keep(self) -> None:
        """The keeper's whole life: hand out jobs, listen, and end who is dead or late."""
        try:
            while not self._over():
                self._hand_out()
                self._listen()
        finally:
            self._dismiss()

    def _over(self) -> bool:
        with self._lock:
            idle = not self._jobs and not any(worker.job for worker in self._crew)
            return self._stop or (self._closing and idle)

    def _hand_out(self) -> None:
        for worker in [worker for worker in self._crew if worker.job is None]:
            if worker.done >= self._renew:
                self._crew.remove(worker)
                worker.end()
        while True:
            job = self._next()
            if job is None:
                return
            free = next((worker for worker in self._crew if worker.job is None), None)
            if free is None:
                try:
                    free = _Worker(self._warm)
                except OSError as error:
                    why = os.strerror(error.errno or 0).lower()
                    job.future.set_exception(WorkerLost(f"no process could be started ({why})"))
                    continue
                self._crew.append(free)
            free.take(job)

    def _next(self) -> _Job | None:
        """The next job that is still wanted, where somebody could take it."""
        busy = sum(worker.job is not None for worker in self._crew)
        with self._lock:
            while busy < self.size and self._jobs:
                job = self._jobs.popleft()
                if job.future.set_running_or_notify_cancel():
                    return job
        return None

    def _listen(self) -> None:
        """Wait for the next thing to happen, and see to all that has."""
        late = [at for worker in self._crew if (at := worker.late_at(self._limit)) is not None]
        patience = max(0.0, min(late) - time.monotonic()) if late else None
        ready = wait([self._bell, *(worker.pipe for worker in self._crew)], patience)
        if self._bell in ready:
            self._bell.recv_bytes()
        for worker in list(self._crew):
            if worker.pipe in ready:
                self._hear(worker)
            elif (at := worker.late_at(self._limit)) is not None and at <= time.monotonic():
                self._lose(worker, self._late(worker))

    def _hear(self, worker: _Worker) -> None:
        try:
            data = worker.pipe.recv_bytes()
            if not worker.ready and data == READY:
                worker.ready, worker.since = True, time.monotonic()
                return
            # Our own worker wrote it, into a socket without a name.
            well, value = pickle.loads(data)  # noqa: S301
        except Exception:
            self._lose(worker, None)
            return
        job, worker.job, worker.done = worker.job, None, worker.done + 1
        if job is None:
            return
        if well:
            job.future.set_result(value)
        else:
            job.future.set_exception(value)

    def _late(self, worker: _Worker) -> OurFault:
        if not worker.ready:
            return WorkerLost("the worker process was not ready in time")
        return TooSlow(f"this took longer than {_minutes(self._limit or 0.0)} and was ended")

    def _lose(self, worker: _Worker, why: OurFault | None) -> None:
        self._crew.remove(worker)
        how = worker.end()
        if worker.job is not None:
            lost = WorkerLost(f"the worker process died ({how})")
            worker.job.future.set_exception(why or lost)

    def _dismiss(self) -> None:
        """End every worker; whoever waits for one hears of it."""
        for worker in list(self._crew):
            self._lose(worker, SentAway("the workers were sent away"))
        with self._lock:
            self._closing = True
            while self._jobs:
                self._jobs.popleft().future.cancel()
            self._bell.close()
            self._ring.close()


def _minutes(seconds: float) -> str:
    minutes = seconds / 60
    return f"{minutes:g} minute{'' if minutes == 1 else 's'}"
