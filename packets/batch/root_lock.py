"""One batch at a time on a folder of clients."""

import contextlib
import fcntl
import os
from collections.abc import Iterator
from pathlib import Path

from packets.base.errors import UsageError
from packets.recipe.text_file import shown_path
from packets.sealing.storage_faults import storage_errors_of

LOCK_NAME = ".packets-batch-lock"
"""Empty file; one that a killed run left is harmless: the lock goes with the process."""


@contextlib.contextmanager
def root_locked(root: Path) -> Iterator[None]:
    """Hold the root for one batch. Raises `UsageError` where another has it.

    Two batches on folders that overlap are safe as well: each client has a lock of
    its own, and the second finds what the first has made.
    """
    with storage_errors_of(root):
        descriptor = os.open(root / LOCK_NAME, os.O_RDWR | os.O_CREAT | os.O_NOFOLLOW, 0o600)
    try:
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            raise UsageError(
                "another batch is at work on this folder",
                where=shown_path(root),
                remedy="Wait until it has ended, then run the same command again.",
            ) from None
        yield
    finally:
        os.close(descriptor)
