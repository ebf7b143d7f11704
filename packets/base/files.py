"""Files that are either whole and on disk, or not there at all."""

import contextlib
import hashlib
import os
import secrets
from collections.abc import Iterator
from pathlib import Path

PARTIAL_PREFIX = ".partial-"
"""Every file in the making starts with this; a later run may sweep it away."""


def write_durably(path: Path, data: bytes, *, mode: int = 0o600) -> None:
    """Write `data` to `path` so that a crash leaves the old file or the new one, never a mix.

    Temporary file in the same folder, write, flush, fsync, rename, fsync of the
    folder. On any failure the temporary file is removed and the error goes on.
    """
    with partial_file(path, data, mode=mode) as partial:
        partial.replace(path)
        sync_folder(path.parent)


@contextlib.contextmanager
def partial_file(path: Path, data: bytes, *, mode: int = 0o600) -> Iterator[Path]:
    """A synced temporary file beside `path` holding `data`; gone afterwards unless renamed."""
    partial = path.parent / f"{PARTIAL_PREFIX}{secrets.token_hex(8)}"
    try:
        descriptor = os.open(partial, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode)
        with os.fdopen(descriptor, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        yield partial
    finally:
        with contextlib.suppress(OSError):
            partial.unlink(missing_ok=True)


def sync_folder(folder: Path) -> None:
    """Make a rename in `folder` survive a power cut."""
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def sweep_partials(folder: Path) -> int:
    """Remove what a killed run left behind; return how many files went."""
    if not folder.is_dir():
        return 0
    gone = 0
    for leftover in folder.glob(f"{PARTIAL_PREFIX}*"):
        with contextlib.suppress(OSError):
            leftover.unlink()
            gone += 1
    return gone


def file_sha256(path: Path) -> str:
    """SHA-256 of a file's bytes, read in pieces."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def sha256_where_file(path: Path) -> str:
    """SHA-256 of a file in hex; empty where there is no plain file."""
    return file_sha256(path) if path.is_file() else ""


def lies_in(path: Path, folder: Path) -> bool:
    """Whether `path` is `folder` or lies in it, where all links lead."""
    return path.resolve().is_relative_to(folder.resolve())
