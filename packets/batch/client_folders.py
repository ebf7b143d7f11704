"""Which client folders lie under a root, and in which order they are worth building."""

import os
from collections.abc import Iterator
from pathlib import Path

from packets.base.errors import InputRefused, UsageError
from packets.intake.engagement import ENGAGEMENT_FILE
from packets.recipe.text_file import shown_path


def client_folders(root: Path) -> tuple[Path, ...]:
    """Every folder under `root` with an engagement.toml, or `root` itself; the largest first.

    The largest first, so that no worker begins the longest return when the others
    have nothing left to do. Hidden folders and links to folders are passed over, and
    nothing is looked for inside a client folder. Raises `UsageError` where there is no
    client folder, `InputRefused` for a folder that cannot be read: a client that
    nobody saw would count as done.
    """
    found = sorted(_walk(root), key=lambda client: (-_bytes_of(client / "documents"), str(client)))
    if not found:
        raise UsageError(
            "there is no client folder here, nor below",
            where=shown_path(root),
            remedy=f"Name a folder above the client folders; each of them has {ENGAGEMENT_FILE}.",
        )
    return tuple(found)


def _walk(root: Path) -> Iterator[Path]:
    for name, folders, files in os.walk(root, onerror=_refuse, followlinks=False):
        if ENGAGEMENT_FILE in files:
            folders.clear()
            yield Path(name)
        folders[:] = sorted(folder for folder in folders if not folder.startswith("."))


def _refuse(error: OSError) -> None:
    raise InputRefused(
        "this folder cannot be read, so nobody knows which clients lie in it",
        where=shown_path(str(error.filename)),
        remedy="Give yourself access to it, or name a folder that you may read as a whole.",
    )


def _bytes_of(folder: Path) -> int:
    """Bytes of all files below; what cannot be read counts as nothing."""
    total = 0
    for name, _, files in os.walk(folder):
        for file in files:
            try:
                total += os.lstat(os.path.join(name, file)).st_size  # noqa: PTH118 - many
            except OSError:
                continue
    return total
