"""Work done alongside, in a copy of this process, where a processor is free for it.

The copy inherits what is loaded and opened, sends its result back through a
pipe and ends; it writes nothing else. Where no copy can be made, where it dies,
or where its result cannot be sent, the work is done here after all. So callers
get the same result either way.
"""

import contextlib
import io
import os
import pickle
import signal
import sys
import warnings
from collections.abc import Callable, Iterator
from typing import Any, BinaryIO, Generic, TypeVar, cast

from packets.base.errors import PacketsError
from packets.base.one_process import kept_in_one_process
from packets.base.secret import Secret

T = TypeVar("T")
Outcome = tuple[bool, Any]
"""Whether work was done, and its result or the error with which it ended."""


class Alongside(Generic[T]):
    """One piece of work that may be under way in another process."""

    def __init__(self, work: Callable[[], T]) -> None:
        self._work = work
        self._child, self._pipe = _copy_at_work(work) if may_copy() else (0, -1)

    def result(self) -> T:
        """Wait for the result. Raises whatever the work raises."""
        sent = self._received()
        return self._work() if sent is None else cast(T, taken(sent))

    def _received(self) -> "Outcome | None":
        if not self._child:
            return None
        with os.fdopen(self._pipe, "rb") as pipe:
            data = pipe.read()
        self._pipe = -1
        _, status = os.waitpid(self._child, 0)
        self._child = 0
        if status or not data:
            return None
        # Our own copy wrote it, into a pipe without a name.
        return cast(Outcome, pickle.loads(data))  # noqa: S301

    def give_up(self) -> None:
        """End the copy if it is still at work."""
        if self._child:
            end_copy(self._child)
            os.close(self._pipe)
            self._child = 0


class _BetweenTheTwo(pickle.Pickler):
    """Secrets go between a process and its copy, through a pipe that only these two hold."""

    def reducer_override(self, value: object) -> Any:
        """How to make a secret again; everything else as always."""
        return (Secret, (value.reveal(),)) if isinstance(value, Secret) else NotImplemented


@contextlib.contextmanager
def alongside(work: Callable[[], T]) -> Iterator[Alongside[T]]:
    """Start the work; whoever leaves the block without its result ends it."""
    under_way = Alongside(work)
    try:
        yield under_way
    finally:
        under_way.give_up()


@contextlib.contextmanager
def either_way(work: Callable[[], T], *, apart: bool) -> Iterator[Callable[[], T]]:
    """Start the work alongside, or do it at once; its result is had by a call in the block."""
    if not apart:
        result = work()
        yield lambda: result
        return
    with alongside(work) as under_way:
        yield under_way.result


def may_copy() -> bool:
    """Whether a copy can be made and may find a processor free; else all work is done here.

    Only Linux copies a process safely that has loaded drawing libraries.
    """
    if kept_in_one_process():
        return False
    return sys.platform == "linux" and len(os.sched_getaffinity(0)) > 1


def forked() -> int:
    """Copy the process: 0 in the copy, the copy's number in the original."""
    with warnings.catch_warnings():
        # The thread that draws the progress line holds no lock that the work needs.
        warnings.simplefilter("ignore", DeprecationWarning)
        return os.fork()


def end_copy(child: int) -> None:
    """End a copy, whatever it is about, and leave no dead process behind."""
    with contextlib.suppress(ProcessLookupError):
        os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)


def send(pipe: BinaryIO, value: object) -> None:
    """Write a value into a pipe that only a process and its copy hold; secrets go along."""
    data = io.BytesIO()
    _BetweenTheTwo(data, pickle.HIGHEST_PROTOCOL).dump(value)
    pipe.write(data.getbuffer())
    pipe.flush()


def outcome_of(work: Callable[[], object]) -> Outcome:
    """The result of the work, or the refusal of ours with which it ends, to be sent."""
    try:
        return True, work()
    except PacketsError as error:
        return False, error


def taken(outcome: Outcome) -> Any:
    """The result that was sent. Raises the refusal."""
    well, value = outcome
    if well:
        return value
    raise value


def _copy_at_work(work: Callable[[], object]) -> tuple[int, int]:
    reading, writing = os.pipe()
    child = forked()
    if child:
        os.close(writing)
        return child, reading
    os.close(reading)
    _work(work, writing)
    raise AssertionError("unreachable")


def _work(work: Callable[[], object], writing: int) -> None:
    """The copy's whole life. It ends without the clearing up that is the original's to do."""
    status = 1
    try:
        signal.signal(signal.SIGINT, signal.SIG_DFL)
        sent = outcome_of(work)
        with os.fdopen(writing, "wb") as pipe:
            send(pipe, sent)
        status = 0
    finally:
        os._exit(status)
