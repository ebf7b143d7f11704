"""A random key in a file of its own, which nobody but us can have read or written."""

import contextlib
import os
import secrets
import stat
from collections.abc import Callable
from pathlib import Path

from packets.base.files import write_durably


def kept_key(file: Path, size: int, *, anew: Callable[[], object] = lambda: None) -> bytes:
    """The key of so many bytes; a new one where there is none that only we could have read.

    `anew` is called before a new one is written: whatever the old one sealed is worth
    nothing then. Raises `OSError` where a key cannot be kept.
    """
    for _ in range(2):
        with contextlib.suppress(FileNotFoundError):
            key = _read(file, size)
            if key is not None:
                return key
        anew()
        # Whole at once: a run beside this one must not read half a key.
        write_durably(file, secrets.token_bytes(size))
    raise PermissionError(f"the key in {file.name} cannot be kept private")


def _read(file: Path, size: int) -> bytes | None:
    # A pipe in its place would be waited for without an end.
    descriptor = os.open(file, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK | os.O_CLOEXEC)
    with os.fdopen(descriptor, "rb") as stream:
        facts = os.fstat(stream.fileno())
        key = stream.read(size + 1)
    is_ours = facts.st_uid == os.geteuid() and stat.S_ISREG(facts.st_mode)
    return key if is_ours and not facts.st_mode & 0o077 and len(key) == size else None
