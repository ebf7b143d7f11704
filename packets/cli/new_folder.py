"""Making an empty client folder: commented files, private from the start."""

import os
from collections.abc import Mapping, Sequence
from importlib.resources import files
from pathlib import Path

from packets.base.errors import UsageError

FOLDERS = ("documents", "signatures", "keys")
"""Folders that a user fills, and the one for passphrases; outbound/, office/ and filing/
appear with the first packet for them."""
TEMPLATES = {
    "engagement.toml": "engagement.toml",
    "identifiers.toml": "identifiers.toml",
    "signatures/grants.toml": "grants.toml",
}
"""File in the client folder, and the template it is made from."""
OFFICE_FOLDERS = ("office-signatures",)
OFFICE_TEMPLATES = {"office.toml": "office.toml", "office-signatures/grants.toml": "grants.toml"}
"""The same for the folder that holds all client folders."""


def new_client(client: Path) -> tuple[Path, ...]:
    """Make the client folder and whatever of its files is missing; return what was made.

    Nothing that exists is touched or followed: files are created only where there
    is none. Folders get mode 0700 and files 0600. Raises `UsageError` when
    something other than a folder stands where a folder belongs.
    """
    return _make(client, FOLDERS, TEMPLATES)


def new_office(folder: Path) -> tuple[Path, ...]:
    """The same for the office's own file and its signature store, in the folder of all clients."""
    return _make(folder, OFFICE_FOLDERS, OFFICE_TEMPLATES)


def _make(root: Path, folders: Sequence[str], templates: Mapping[str, str]) -> tuple[Path, ...]:
    made = [folder for folder in (root, *map(root.joinpath, folders)) if _make_folder(folder)]
    for name, template in templates.items():
        text = files("packets.cli").joinpath("templates", template).read_bytes()
        if _make_file(root / name, text):
            made.append(root / name)
    return tuple(made)


def _make_folder(folder: Path) -> bool:
    try:
        folder.mkdir(mode=0o700)
    except FileExistsError:
        if not folder.is_dir() or folder.is_symlink():
            raise UsageError(
                "something else stands where a folder belongs", where=str(folder)
            ) from None
        return False
    except FileNotFoundError:
        raise UsageError(
            "the folder above it does not exist",
            where=str(folder),
            remedy="Make that folder first, or name another place.",
        ) from None
    return True


def _make_file(path: Path, text: bytes) -> bool:
    try:
        descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        return False
    with os.fdopen(descriptor, "wb") as file:
        file.write(text)
    return True
