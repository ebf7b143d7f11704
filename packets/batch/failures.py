"""What an error of one client is called: an ending, an exit status, and words without values."""

import errno
import os
import traceback
from pathlib import Path

from packets.base.errors import ExitStatus, Held, InputRefused, PacketsError, UsageError
from packets.batch.records import Ending

_OURS = Path(__file__).resolve().parents[1]
_NO_ROOM = frozenset({errno.ENOSPC, errno.EDQUOT})


def told_as(error: Exception) -> tuple[Ending, ExitStatus, tuple[str, ...]]:
    """The ending, its exit status, and why, in sentences."""
    if isinstance(error, PacketsError):
        return _ending(error), error.exit_code, (f"{error}.", error.remedy)
    if isinstance(error, MemoryError):
        why = "this machine ran out of memory"
        return Ending.REFUSED, ExitStatus.REFUSED, (why, "Give it fewer workers with --jobs.")
    if isinstance(error, OSError):
        return Ending.REFUSED, ExitStatus.REFUSED, (_of_the_system(error),)
    why = f"our own fault ({type(error).__name__}){_last_place_of_ours(error)}"
    return Ending.FAILED, ExitStatus.FAULT, (why, PacketsError.default_remedy)


def _ending(error: PacketsError) -> Ending:
    if isinstance(error, Held):
        return Ending.HELD
    return Ending.REFUSED if isinstance(error, InputRefused | UsageError) else Ending.FAILED


def _of_the_system(error: OSError) -> str:
    if error.errno in _NO_ROOM:
        return "there is no room left on the disk"
    what = os.strerror(error.errno).lower() if error.errno else "the system refused to go on"
    return f"{error.filename}: {what}" if isinstance(error.filename, str) else what


def _last_place_of_ours(error: Exception) -> str:
    """File and line of the innermost frame inside `packets`; never a value."""
    place = ""
    for frame, line in traceback.walk_tb(error.__traceback__):
        file = Path(frame.f_code.co_filename)
        if file.is_relative_to(_OURS):
            place = f" at packets/{file.relative_to(_OURS).as_posix()}:{line}"
    return place
