"""Runs in processes of their own that are killed at a chosen moment, as by a power cut."""

import contextlib
import itertools
import multiprocessing
import os
import signal
from collections.abc import Callable, Iterator, Sequence

import pytest

FORK = multiprocessing.get_context("fork")
DISK_CALLS = ("fsync", "replace", "link", "unlink", "pwrite", "ftruncate")
MOST_CALLS = 200


def die(*_: object) -> None:
    """End this process so that it can tidy nothing."""
    os.kill(os.getpid(), signal.SIGKILL)


@contextlib.contextmanager
def nth_disk_call(
    number: int,
    happens: Callable[[], None],
    *,
    lasting: bool = False,
    calls: Sequence[str] = DISK_CALLS,
) -> Iterator[None]:
    """Let `happens` come before the n-th change to the disk, from 0; if lasting, before all later.

    With a negative number it never comes, unless lasting.
    """
    count = itertools.count()

    def counted(call: Callable[..., object]) -> Callable[..., object]:
        def instead(*arguments: object, **options: object) -> object:
            called = next(count)
            if called == number or (lasting and called > number):
                happens()
            return call(*arguments, **options)

        return instead

    with pytest.MonkeyPatch.context() as patch:
        for name in calls:
            patch.setattr(os, name, counted(getattr(os, name)))
        yield


def was_killed(target: Callable[..., object], *arguments: object) -> bool:
    """Run the target in a process of its own, and say whether it was killed on the way."""
    run = FORK.Process(target=target, args=arguments)
    run.start()
    run.join()
    assert run.exitcode in (0, -signal.SIGKILL)
    return run.exitcode != 0
