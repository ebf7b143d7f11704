"""At the next start: finish or undo what a crash cut short, and sweep the rest.

Which of the two, per release that the ledger calls prepared:

- the packet has its final name: everything else had it before; note `released`, or
  `waits for review`;
- packet, manifest and any signature are there, staged or named, and so is the
  passphrase if one was to be kept: finish in the order of `release`;
- anything is missing (the crash came before the passphrase was written, somebody
  removed a staged file): take back what has a final name and note `withdrawn`.

Then what no longer waits is taken from `to-review/` (`waiting.py`). Only then are staged
files swept, all that start with `.partial-` in the three folders: nobody but a holder of
these locks should stage files there. Packets of which the ledger says nothing are never
touched.
"""

import datetime as dt
from dataclasses import dataclass
from pathlib import Path

from packets.base.files import (
    PARTIAL_PREFIX,
    file_sha256,
    sweep_partials,
    sync_folder,
    write_durably,
)
from packets.sealing import checksum_list, keys
from packets.sealing.folder_lock import folders_locked
from packets.sealing.ledger import append_locked, demand_sound, repair_locked
from packets.sealing.ledger_chain import FILE_NAME
from packets.sealing.release_steps import (
    WITHDRAWN,
    Parts,
    give_name,
    half_done,
    is_file_of,
    take_back,
)
from packets.sealing.storage_faults import storage_errors_of
from packets.sealing.waiting import tidy_locked


@dataclass(frozen=True)
class Recovered:
    """What recovery found and did; all empty after a run that ended well."""

    completed: tuple[str, ...] = ()
    """Packets whose release was finished."""
    withdrawn: tuple[str, ...] = ()
    """Packets whose release was undone; build them again."""
    swept: int = 0
    """Staged files removed."""
    repaired: bool = False
    """Whether the ledger had an unfinished line."""


def recover(client_folder: Path, out_folder: Path, *, now: dt.datetime | None = None) -> Recovered:
    """Put `out_folder`, the keys and the ledger in order after a crash; idempotent.

    Raises `InputRefused` when the ledger is broken or the disk full, `UsageError`
    when a folder cannot be written.
    """
    if not out_folder.is_dir():
        return Recovered()
    with storage_errors_of(out_folder), folders_locked(client_folder, out_folder):
        return recover_locked(client_folder, out_folder, now=now)


def recover_locked(
    client_folder: Path, out_folder: Path, *, now: dt.datetime | None = None
) -> Recovered:
    """`recover` for a caller who holds both folders' locks; an OSError goes through."""
    repaired = repair_locked(client_folder, at=now or dt.datetime.now(dt.UTC))
    reading = demand_sound(client_folder / FILE_NAME)
    completed: list[str] = []
    withdrawn: list[str] = []
    for parts in half_done(reading.entries, client_folder, out_folder):
        done = _complete(parts)
        if not done:
            take_back(parts)
        append_locked(
            client_folder,
            parts.ends_as if done else WITHDRAWN,
            {**(parts.named if done else parts.taken_back), "after_crash": True},
            at=now,
        )
        (completed if done else withdrawn).append(parts.packet)
    tidy_locked(client_folder)
    swept = sweep_partials(out_folder) + sweep_partials(keys.keys_folder(client_folder))
    swept += sweep_partials(client_folder)
    return Recovered(tuple(completed), tuple(withdrawn), swept, repaired)


def _complete(parts: Parts) -> bool:
    """Give every part its final name; False, with nothing changed, where one is missing."""
    staged = {
        file_sha256(path): path
        for path in parts.folder.glob(f"{PARTIAL_PREFIX}*")
        if path.is_file() and not path.is_symlink()
    }
    packet_named = is_file_of(parts.packet_path, parts.sha256)
    manifest_named = is_file_of(parts.manifest_path, parts.manifest_sha256)
    signature_named = not parts.signature_sha256 or is_file_of(
        parts.signature_path, parts.signature_sha256
    )
    key_there = not parts.key_kept or keys.key_file(parts.client, parts.packet).is_file()
    if not (
        key_there
        and (packet_named or (parts.sha256 in staged and not parts.packet_path.exists()))
        and (manifest_named or parts.manifest_sha256 in staged)
        and (signature_named or parts.signature_sha256 in staged)
    ):
        return False
    if not signature_named:
        staged[parts.signature_sha256].replace(parts.signature_path)
    if not manifest_named:
        staged[parts.manifest_sha256].replace(parts.manifest_path)
    listed = checksum_list.read_list(parts.folder)
    complete_list = checksum_list.with_packet(listed, parts.packet, parts.sha256)
    if complete_list != listed:
        write_durably(parts.folder / checksum_list.FILE_NAME, complete_list)
    sync_folder(parts.folder)
    if not packet_named:
        give_name(staged[parts.sha256], parts.packet_path)
        sync_folder(parts.folder)
    return True
