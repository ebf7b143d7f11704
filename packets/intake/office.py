"""`office.toml`: the office's own facts, for all its client folders."""

import os
import re
import stat
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Annotated, Any

from pydantic import Field

from packets.base.errors import UsageError
from packets.recipe.key_faults import KeyFault
from packets.recipe.loader import load_file
from packets.recipe.model import Table
from packets.recipe.text_file import shown_path

OFFICE_FILE = "office.toml"
_ADDRESS = re.compile(r"[^@\s<>,;\"]{1,64}@[A-Za-z0-9](?:[A-Za-z0-9.-]{0,200}[A-Za-z0-9])?")


class Office(Table):
    """The office itself."""

    name: Annotated[str, Field(min_length=1, max_length=120)]
    """As it signs its letters."""
    sender: Annotated[str, Field(max_length=254)] = ""
    """E-mail address from which packets are announced."""
    signatures: Annotated[str, Field(max_length=400)] = ""
    """Folder with the signature images and the grants.toml of the ERO and of paid preparers;
    a path from the folder of office.toml, or an absolute one. Empty: the office keeps none."""
    key: Annotated[str, Field(max_length=400)] = ""
    """File with the office's private key (`packets office-key new` makes one); a path from the
    folder of office.toml, or an absolute one. Where it is given, every released packet and
    the ledger's head are signed with it."""


class OfficeFile(Table):
    """The whole file."""

    office: Office


@dataclass(frozen=True)
class KnownOffice:
    """An office.toml that was found and read."""

    path: Path
    office: Office

    @property
    def store(self) -> Path | None:
        """The office's signature store, whether it exists by now or not."""
        if not self.office.signatures:
            return None
        return self.path.parent / self.office.signatures

    @property
    def key(self) -> Path | None:
        """The office's private key, whether the file is there or not."""
        return self.path.parent / self.office.key if self.office.key else None


def find_office(client: Path, given: Path | None = None) -> KnownOffice | None:
    """The office of a client folder: the file that is given, or the nearest one upward.

    Looked for in the client folder and in each folder above it. A folder that every
    account of the machine may write to (such as /tmp) is passed over: anybody could
    have laid the file there. None where there is none.

    Raises UsageError when a given file is not there, FileFaults with every fault.
    """
    if given is not None and not given.is_file():
        raise UsageError(
            "there is no such file", where=shown_path(given), remedy="Give the path of office.toml."
        )
    path = given if given is not None else _upward(client)
    if path is None:
        return None
    loaded = load_file(path, OfficeFile, partial(_faults, path.parent))
    return KnownOffice(path, loaded.office)


def _upward(client: Path) -> Path | None:
    start = client.resolve()
    for folder in (start, *start.parents):
        path = folder / OFFICE_FILE
        if path.is_file() and not _open_to_all(folder):
            return path
    return None


def _open_to_all(folder: Path) -> bool:
    return os.name == "posix" and bool(folder.stat().st_mode & stat.S_IWOTH)


def _faults(folder: Path, table: Any) -> Iterator[KeyFault]:
    """What is wrong with single values beyond what the model says."""
    office = table.get("office")
    if not isinstance(office, dict):
        return
    sender, store, key = office.get("sender"), office.get("signatures"), office.get("key")
    if isinstance(sender, str) and sender and not _ADDRESS.fullmatch(sender):
        yield KeyFault(
            ("office", "sender"),
            "this is no e-mail address",
            "one address, such as office@firm.example",
        )
    if isinstance(store, str) and store:
        at = ("office", "signatures")
        if not store.isprintable():
            yield KeyFault(at, "this is no path of a folder")
        elif (folder / store).exists() and not (folder / store).is_dir():
            yield KeyFault(at, "this is a file, and it must be a folder")
    if isinstance(key, str) and key:
        if not key.isprintable():
            yield KeyFault(("office", "key"), "this is no path of a file")
        elif (folder / key).is_dir():
            yield KeyFault(("office", "key"), "this is a folder, and it must be a file")
