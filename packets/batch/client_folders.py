"""Which client folders lie under a root, and in which order they are worth building."""

import os
from pathlib import Path
from typing import NoReturn

from packets.base.errors import InputRefused
from packets.intake.folders_under import folders_under, no_client_folder
from packets.recipe.text_file import shown_path


def client_folders(root: Path) -> tuple[Path, ...]:
    """Every folder under `root` with an engagement.toml, or `root` itself; the largest first.

    The largest first, so that no worker begins the longest return when the others
    have nothing left to do. Raises `UsageError` where there is no client folder,
    `InputRefused` for a folder that cannot be read: a client that nobody saw would
    count as done.
    """
    clients = folders_under(root, _refuse)
    found = sorted(clients, key=lambda client: (-_bytes_of(client / "documents"), str(client)))
    if not found:
        raise no_client_folder(root)
    return tuple(found)


def _refuse(error: OSError) -> NoReturn:
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
