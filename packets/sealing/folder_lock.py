"""One writer at a time in a folder."""

import contextlib
import fcntl
import os
from collections.abc import Iterator
from pathlib import Path

LOCK_NAME = ".packets-lock"
"""Empty file that exists while a writer is at work; one left by a killed run is harmless."""


@contextlib.contextmanager
def folder_locked(folder: Path) -> Iterator[None]:
    """Hold the folder's lock; wait for another process or thread that has it.

    The operating system drops the lock with the process, however that ends. The
    file is removed afterwards, so a waiter looks again whether what it locked is
    still the file of that name.
    """
    path = folder / LOCK_NAME
    descriptor = _locked_descriptor(path)
    try:
        yield
    finally:
        with contextlib.suppress(OSError):
            path.unlink(missing_ok=True)
        os.close(descriptor)


@contextlib.contextmanager
def folders_locked(*folders: Path) -> Iterator[None]:
    """Hold several folders' locks, always taken in the same order, so nobody waits in a ring."""
    with contextlib.ExitStack() as stack:
        for folder in sorted({folder.resolve() for folder in folders}):
            stack.enter_context(folder_locked(folder))
        yield


def _locked_descriptor(path: Path) -> int:
    while True:
        descriptor = os.open(path, os.O_RDWR | os.O_CREAT | os.O_NOFOLLOW, 0o600)
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX)
            if _is_still(path, descriptor):
                return descriptor
        except BaseException:
            os.close(descriptor)
            raise
        os.close(descriptor)


def _is_still(path: Path, descriptor: int) -> bool:
    try:
        named = path.lstat()
    except FileNotFoundError:
        return False
    held = os.fstat(descriptor)
    return (named.st_dev, named.st_ino) == (held.st_dev, held.st_ino)
