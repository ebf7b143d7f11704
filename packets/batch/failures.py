"""What an error of one client is called: an ending, an exit status, and words without values."""

import os

from packets.base.errors import NO_ROOM, ExitStatus, Held, InputRefused, PacketsError, UsageError
from packets.base.own_place import last_place_of_ours
from packets.batch.records import Ending


def told_as(error: Exception) -> tuple[Ending, ExitStatus, tuple[str, ...]]:
    """The ending, its exit status, and why, in sentences."""
    if isinstance(error, PacketsError):
        return _ending(error), error.exit_code, (f"{error}.", error.remedy)
    if isinstance(error, MemoryError):
        why = "this machine ran out of memory"
        return Ending.REFUSED, ExitStatus.REFUSED, (why, "Give it fewer workers with --jobs.")
    if isinstance(error, OSError):
        return Ending.REFUSED, ExitStatus.REFUSED, (_of_the_system(error),)
    place = last_place_of_ours(error)
    why = f"our own fault ({type(error).__name__}){f' at {place}' if place else ''}"
    return Ending.FAILED, ExitStatus.FAULT, (why, PacketsError.default_remedy)


def _ending(error: PacketsError) -> Ending:
    if isinstance(error, Held):
        return Ending.HELD
    return Ending.REFUSED if isinstance(error, InputRefused | UsageError) else Ending.FAILED


def _of_the_system(error: OSError) -> str:
    if error.errno in NO_ROOM:
        return "there is no room left on the disk"
    what = os.strerror(error.errno).lower() if error.errno else "the system refused to go on"
    return f"{error.filename}: {what}" if isinstance(error.filename, str) else what
