"""What lies under a path: files to read, and what cannot be one. Links are not followed."""

import os
import stat
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from packets.base.errors import Damaged, InputRefused, OverLimit
from packets.base.limits import Limits

MOST_FILES = 100_000
A_LINK = "a link: what it leads to does not lie here"


@dataclass(frozen=True)
class Entry:
    """One thing under a path."""

    file: Path
    name: str
    """Its place below the path, with `/` between; the path's own name for a single file."""
    fault: str = ""
    """Why it cannot be read, in words."""
    is_folder: bool = False
    """A folder that is judged by its name alone."""


def entries_under(path: Path) -> tuple[Entry, ...]:
    """Everything under `path` in the order of the names. Raises InputRefused beyond the limit."""
    entries: list[Entry] = []
    for entry in _walk(path):
        entries.append(entry)
        if len(entries) > MOST_FILES:
            raise InputRefused("more files than this program promises to check")
    return tuple(entries)


def _walk(path: Path) -> Iterator[Entry]:
    if not path.is_dir():
        yield Entry(path, path.name)
        return
    yield Entry(path, path.absolute().name, is_folder=True)
    shut: list[str] = []
    for folder, inner, names in os.walk(path, onerror=lambda error: shut.append(error.filename)):
        inner.sort()
        here = Path(folder)
        for name in sorted(names):
            yield _entry(here / name, path)
        for name in inner:
            if (here / name).is_symlink():
                yield _entry(here / name, path)
        if not inner and not names and here != path:
            yield Entry(here, _below(here, path), is_folder=True)
    for closed in shut:
        yield Entry(Path(closed), _below(Path(closed), path), "a folder that cannot be listed")


def _entry(file: Path, path: Path) -> Entry:
    return Entry(file, _below(file, path), A_LINK if file.is_symlink() else "")


def _below(file: Path, path: Path) -> str:
    return path.name if file == path else file.relative_to(path).as_posix()


def bytes_of(file: Path, limits: Limits) -> bytes:
    """The bytes of a regular file, never of a pipe, a socket or a device. Raises InputRefused."""
    try:
        # Without waiting: opening a pipe would else wait for somebody to write.
        descriptor = os.open(file, os.O_RDONLY | os.O_NONBLOCK | os.O_CLOEXEC)
    except PermissionError:
        raise Damaged("this account may not read it") from None
    except OSError:
        raise Damaged("no file that can be read") from None
    with os.fdopen(descriptor, "rb") as stream:
        facts = os.fstat(stream.fileno())
        if not stat.S_ISREG(facts.st_mode):
            raise Damaged("no file that can be read: a pipe, a device or a folder")
        if facts.st_size > limits.file_bytes:
            raise OverLimit("the file is larger than this program promises to read")
        try:
            data = stream.read(limits.file_bytes + 1)
        except OSError:
            raise Damaged("the file cannot be read from disk") from None
    if len(data) > limits.file_bytes:
        raise OverLimit("the file is larger than this program promises to read")
    return data
