"""Files that only their owner may read: identifiers and source passwords."""

import contextlib
import os
import stat
from pathlib import Path

from packets.base.errors import UsageError
from packets.base.files import partial_file

_OTHERS = stat.S_IRWXG | stat.S_IRWXO


def close_to_others(path: Path, shown: str) -> str:
    """Take the rights of other accounts from a secret file; say so in a sentence, if it had any.

    Version control and copies between machines lose modes, so an open file is
    closed rather than refused. Raises `UsageError` where it cannot be closed.
    Where the file system keeps no modes (some network shares and memory
    sticks), nothing can be asked, and nothing is.
    """
    if os.name != "posix":
        return ""
    mode = stat.S_IMODE(path.stat().st_mode)
    if not mode & _OTHERS or not _keeps_modes(path.parent):
        return ""
    with contextlib.suppress(OSError):
        path.chmod(mode & ~_OTHERS)
    if path.stat().st_mode & _OTHERS:
        raise UsageError(
            "other accounts of this machine may open this file, and it holds secrets",
            where=shown,
            remedy=f"Run: chmod 600 '{shown}' (in the client folder), then try again.",
        )
    return f"{shown} was open to other accounts of this machine; it is closed now"


def _keeps_modes(folder: Path) -> bool:
    """Whether a file made here with mode 0600 really has that mode."""
    with contextlib.suppress(OSError), partial_file(folder / "mode", b"") as probe:
        return not probe.stat().st_mode & _OTHERS
    return True
