"""What the disk refuses, told as one of our errors with its remedy."""

import contextlib
import errno
from collections.abc import Iterator
from pathlib import Path

from packets.base.errors import NO_ROOM, InputRefused, PacketsError, UsageError
from packets.sealing.number_free import plain_text

_FULL = NO_ROOM | {errno.EFBIG}
_FORBIDDEN = frozenset(
    {errno.EACCES, errno.EPERM, errno.EROFS, errno.ENOTDIR, errno.EISDIR, errno.ELOOP}
)


def storage_fault(code: int | None, folder: Path) -> PacketsError:
    """The error for an errno met while writing in `folder`: no space, no right, or else."""
    where = plain_text(str(folder))
    if code in _FULL:
        return InputRefused(
            "the disk is full or the quota is used up; nothing was released",
            where=where,
            remedy="Free some space on this disk and build again.",
        )
    if code in _FORBIDDEN:
        return UsageError(
            "this folder cannot be written; nothing was released",
            where=where,
            remedy="Give yourself the right to write here, or choose another folder with --out.",
        )
    if code == errno.EEXIST:
        return UsageError(
            "another file took the name of one to be written; both were left alone",
            where=where,
            remedy="Build again; the next free name is used.",
        )
    return InputRefused(
        f"the disk answered with error {code}; nothing was released",
        where=where,
        remedy="See whether the disk or network folder is reachable, and build again.",
    )


@contextlib.contextmanager
def storage_errors_of(folder: Path) -> Iterator[None]:
    """Turn an OSError raised inside into `storage_fault` for the folder it names, or this one."""
    try:
        yield
    except OSError as error:
        named = Path(error.filename).parent if isinstance(error.filename, str) else folder
        raise storage_fault(error.errno, named) from None
