"""Files that only their owner may read: identifiers and source passwords."""

import contextlib
import os
import stat
from pathlib import Path

from packets.base.errors import UsageError
from packets.base.files import partial_file

_OTHERS = stat.S_IRWXG | stat.S_IRWXO


def require_private(path: Path, shown: str) -> None:
    """Refuse a secret file that other accounts of this machine may read or write.

    Raises `UsageError` with the command that closes it. Where the file system
    keeps no modes (some network shares and memory sticks), nothing can be
    asked, and nothing is.
    """
    if os.name != "posix" or not path.stat().st_mode & _OTHERS:
        return
    if not _keeps_modes(path.parent):
        return
    raise UsageError(
        "other accounts of this machine may open this file, and it holds secrets",
        where=shown,
        remedy=f"Run: chmod 600 '{shown}' (in the client folder), then try again.",
    )


def _keeps_modes(folder: Path) -> bool:
    """Whether a file made here with mode 0600 really has that mode."""
    with contextlib.suppress(OSError), partial_file(folder / "mode", b"") as probe:
        return not probe.stat().st_mode & _OTHERS
    return True
