"""Many files judged by several copies of this process at once.

A copy inherits the numbers to look for, which leave no process, and sends back
what it found. One that dies or does not come back takes only its file along: that
file has no result, and a new copy goes on with the next. Each copy is replaced
after some hundred files, so that what an engine keeps does not pile up. Only Linux
copies a process safely that has loaded drawing libraries; elsewhere the work is
done here, one after the other.
"""

import contextlib
import os
import signal
import sys
import time
import warnings
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from multiprocessing.connection import Connection, Pipe, wait
from typing import Generic, TypeVar

from packets.base.one_process import in_one_process

T = TypeVar("T")

PROCESSES = 2
_FEW = 8
"""Fewer files than this are not worth a copy."""
_RENEW_AFTER = 300
_PATIENCE = 30 * 60.0
"""Seconds after which a copy that works on one file is taken for lost."""


@dataclass
class _Copy:
    process: int
    pipe: Connection
    done: int = 0
    item: int = -1
    since: float = 0.0


def judged_side_by_side(
    work: Callable[[int], T], items: Sequence[int], *, processes: int = PROCESSES
) -> Iterator[tuple[int, T | None]]:
    """Each item with its result, in the order in which they are done; None where a copy died."""
    if processes < 2 or len(items) < _FEW or sys.platform != "linux":
        for item in items:
            yield item, work(item)
        return
    crew = _Crew(work, min(processes, len(items)))
    try:
        yield from crew.run(items)
    finally:
        crew.dismiss()


def judged_apart(work: Callable[[], T]) -> T | None:
    """One piece of work in a copy of its own, where one can be made; None where the copy died."""
    if sys.platform != "linux":
        return work()
    crew = _Crew(lambda _: work(), 1)
    try:
        return next(crew.run([0]))[1]
    finally:
        crew.dismiss()


class _Crew(Generic[T]):
    def __init__(self, work: Callable[[int], T], size: int) -> None:
        self._work = work
        self._size = size
        self._copies: list[_Copy] = []

    def run(self, items: Sequence[int]) -> Iterator[tuple[int, T | None]]:
        waiting = list(reversed(items))
        while waiting or self._busy():
            self._hand_out(waiting)
            ready = wait([copy.pipe for copy in self._busy()], timeout=5.0)
            for copy in self._busy():
                lost = time.monotonic() - copy.since > _PATIENCE
                if copy.pipe in ready or lost:
                    yield self._received(copy, lost=lost and copy.pipe not in ready)

    def _busy(self) -> list[_Copy]:
        return [copy for copy in self._copies if copy.item >= 0]

    def _hand_out(self, waiting: list[int]) -> None:
        for copy in [copy for copy in self._copies if copy.item < 0]:
            if copy.done >= _RENEW_AFTER or not waiting:
                self._end(copy)
        while waiting and len(self._copies) < self._size:
            self._copies.append(self._new())
        for copy in self._copies:
            if copy.item < 0 and waiting:
                copy.item, copy.since = waiting.pop(), time.monotonic()
                with contextlib.suppress(OSError):  # a dead one shows when it is listened to
                    copy.pipe.send(copy.item)

    def _received(self, copy: _Copy, *, lost: bool) -> tuple[int, T | None]:
        item, copy.item = copy.item, -1
        if not lost:
            try:
                result: T = copy.pipe.recv()
            except (EOFError, OSError):
                self._end(copy)
                return item, None
            copy.done += 1
            return item, result
        self._end(copy)
        return item, None

    def _new(self) -> _Copy:
        here, there = Pipe()
        with warnings.catch_warnings():
            # The thread that draws the progress line holds no lock that the work needs.
            warnings.simplefilter("ignore", DeprecationWarning)
            process = os.fork()
        if process:
            there.close()
            return _Copy(process, here)
        try:
            signal.signal(signal.SIGINT, signal.SIG_DFL)
            signal.signal(signal.SIGTERM, signal.SIG_DFL)
            here.close()
            for other in self._copies:
                other.pipe.close()
            with contextlib.suppress(EOFError, OSError), self._alone():
                while True:
                    there.send(self._work(there.recv()))
        finally:
            # The clearing up is the original's to do.
            os._exit(0)

    def _alone(self) -> "contextlib.AbstractContextManager[None]":
        """Several copies fill the processors; one by itself may still share its work."""
        return in_one_process() if self._size > 1 else contextlib.nullcontext()

    def _end(self, copy: _Copy) -> None:
        self._copies.remove(copy)
        copy.pipe.close()
        with contextlib.suppress(ProcessLookupError):
            os.kill(copy.process, signal.SIGKILL)
        os.waitpid(copy.process, 0)

    def dismiss(self) -> None:
        """End every copy."""
        for copy in list(self._copies):
            self._end(copy)
