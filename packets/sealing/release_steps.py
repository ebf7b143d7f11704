"""What one release consists of, how it is undone, and how a half-done one is found.

The ledger line `prepared` names all parts of a release before any of them gets
its final name; `released` (or `waits for review`) follows when the packet has it,
`withdrawn` when it never will. A `prepared` without either is a release that a crash cut short.
"""

import contextlib
import errno
import os
from dataclasses import dataclass
from pathlib import Path

from packets.base.canonical import Json
from packets.base.files import file_sha256, sync_folder, write_durably
from packets.sealing import keys
from packets.sealing.checksum_list import FILE_NAME as LIST_NAME
from packets.sealing.checksum_list import names_packet, read_list, without_packet
from packets.sealing.ledger_chain import Entry
from packets.sealing.manifest import manifest_path
from packets.sealing.number_free import plain_text
from packets.sealing.packet_names import signature_path

PREPARED = "prepared"
RELEASED = "released"
WITHDRAWN = "withdrawn"
WAITS = "waits for review"
"""In place of `released`: the packet lies in `to-review/` under its final name."""
STILL_WAITS = "still_waits"
"""In a line `withdrawn`: only the move out of `to-review/` was, and the packet stays there."""

_NO_LINKS = frozenset(
    {errno.EPERM, errno.ENOSYS, errno.EOPNOTSUPP, errno.ENOTSUP, errno.EMLINK, errno.EINVAL}
)


@dataclass(frozen=True)
class Parts:
    """The parts of one release, as the ledger names them."""

    client: Path
    folder: Path
    packet: str
    """File name of the packet."""
    sha256: str
    manifest_sha256: str
    key_kept: bool
    signature_sha256: str = ""
    """Of the signature file; empty for a packet that the office does not sign."""
    review: bool = False
    """It is to wait for a person, in the folder for that."""
    moved: bool = False
    """It waited, and a person has released it: its passphrase was kept when it began to wait."""

    @property
    def ends_as(self) -> str:
        """The event that says that all parts have their final names."""
        return WAITS if self.review else RELEASED

    @property
    def named(self) -> dict[str, Json]:
        """How later lines of the ledger name the packet."""
        return {"packet": self.packet, "sha256": self.sha256}

    @property
    def taken_back(self) -> dict[str, Json]:
        """The facts of the line `withdrawn`."""
        return {**self.named, **({STILL_WAITS: True} if self.moved else {})}

    @property
    def packet_path(self) -> Path:
        return self.folder / self.packet

    @property
    def manifest_path(self) -> Path:
        return manifest_path(self.packet_path)

    @property
    def signature_path(self) -> Path:
        return signature_path(self.packet_path)


def folder_text(client: Path, folder: Path) -> str:
    """How the ledger names a folder: inside the client folder where it can, and without numbers."""
    inside = os.path.relpath(folder.resolve(), client.resolve())
    shown = str(folder.resolve()) if inside.startswith("..") else Path(inside).as_posix()
    return plain_text(shown)


def half_done(entries: tuple[Entry, ...], client: Path, folder: Path) -> tuple[Parts, ...]:
    """Releases into `folder` that were prepared and neither ended nor withdrawn."""
    wanted = folder_text(client, folder)
    waiting: dict[str, Entry] = {}
    for entry in entries:
        packet = str(entry.facts.get("packet", ""))
        if entry.event == PREPARED and entry.facts.get("folder") == wanted:
            waiting[packet] = entry
        elif entry.event in (RELEASED, WITHDRAWN, WAITS):
            waiting.pop(packet, None)
    return tuple(parts_of(entry.facts, client, folder) for entry in waiting.values())


def parts_of(facts: dict[str, Json], client: Path, folder: Path) -> Parts:
    """The parts that a line `prepared` names."""
    return Parts(
        client=client,
        folder=folder,
        packet=Path(str(facts.get("packet"))).name,
        sha256=str(facts.get("sha256")),
        manifest_sha256=str(facts.get("manifest_sha256")),
        key_kept=facts.get("key_kept") is True,
        signature_sha256=str(facts.get("signature_sha256", "")),
        review=facts.get("review") is True,
        moved=facts.get("moved") is True,
    )


def names_in_ledger(entries: tuple[Entry, ...]) -> frozenset[str]:
    """Packet names that the ledger has given away, case folded; withdrawn ones are free again."""
    names: set[str] = set()
    for entry in entries:
        packet = str(entry.facts.get("packet", "")).casefold()
        if entry.event in (PREPARED, RELEASED):
            names.add(packet)
        elif entry.event == WITHDRAWN and not entry.facts.get(STILL_WAITS):
            names.discard(packet)
    return frozenset(names)


def is_file_of(path: Path, sha256: str) -> bool:
    """Whether a plain file with this digest is there."""
    return path.is_file() and not path.is_symlink() and file_sha256(path) == sha256


def give_name(partial: Path, path: Path) -> None:
    """Rename, but never over a file that is there already (`FileExistsError`).

    A hard link fails where the name exists; file systems without links get a look
    first and a rename after.
    """
    try:
        os.link(partial, path)
    except OSError as error:
        if error.errno not in _NO_LINKS:
            raise
        if os.path.lexists(path):
            raise FileExistsError(errno.EEXIST, "this name is taken", str(path)) from None
        partial.replace(path)
    with contextlib.suppress(FileNotFoundError):
        partial.unlink()


def take_back(parts: Parts) -> None:
    """Remove what a release that will not happen has put under final names; nothing else.

    The packet goes first: at no moment does it lie there without its manifest.
    """
    if is_file_of(parts.packet_path, parts.sha256):
        parts.packet_path.unlink()
    if parts.key_kept and not parts.moved:
        keys.discard(parts.client, parts.packet)
    if is_file_of(parts.manifest_path, parts.manifest_sha256):
        parts.manifest_path.unlink()
    if parts.signature_sha256 and is_file_of(parts.signature_path, parts.signature_sha256):
        parts.signature_path.unlink()
    listed = read_list(parts.folder)
    if names_packet(listed, parts.packet) and not parts.packet_path.exists():
        _write_list(parts.folder, without_packet(listed, parts.packet))
    sync_folder(parts.folder)


def _write_list(folder: Path, listed: bytes) -> None:
    if listed:
        write_durably(folder / LIST_NAME, listed)
    else:
        (folder / LIST_NAME).unlink()
