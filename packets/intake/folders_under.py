"""The client folders below a folder: those that have an engagement.toml."""

import os
from collections.abc import Callable, Iterator
from pathlib import Path

from packets.base.errors import UsageError
from packets.intake.engagement import ENGAGEMENT_FILE
from packets.recipe.text_file import shown_path


def folders_under(root: Path, cannot: Callable[[OSError], None]) -> Iterator[Path]:
    """Every client folder at or under `root`, in order; `cannot` hears of what cannot be read.

    Hidden folders and links to folders are passed over, and nothing is looked for
    inside a client folder.
    """
    for name, folders, files in os.walk(root, onerror=cannot, followlinks=False):
        if ENGAGEMENT_FILE in files:
            folders.clear()
            yield Path(name)
        folders[:] = sorted(folder for folder in folders if not folder.startswith("."))


def no_client_folder(root: Path) -> UsageError:
    """What to raise where there is none."""
    return UsageError(
        "there is no client folder here, nor below",
        where=shown_path(root),
        remedy=f"Name a folder above the client folders; each of them has {ENGAGEMENT_FILE}.",
    )
