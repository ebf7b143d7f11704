"""A client's standing passphrase: in `keys/` (0600), or in the system's keyring.

Where it is in the keyring, a note in `keys/` names its account there, so that a
machine without that keyring refuses instead of making up another passphrase.
"""

from dataclasses import dataclass
from pathlib import Path

from packets.base.errors import UsageError
from packets.base.files import sync_folder, write_durably
from packets.base.secret import Secret
from packets.sealing import keys
from packets.sealing.number_free import plain_text
from packets.sealing.passphrase import from_file, prepared
from packets.sealing.storage_faults import storage_errors_of
from packets.sealing.system_keyring import from_keyring, out_of_keyring, to_keyring

SERVICE = "packets standing passphrase"
_FILE = "standing-passphrase.txt"
_NOTE = "standing-passphrase.keyring"


@dataclass(frozen=True)
class StandingPlace:
    """Where a standing passphrase is kept; never what it is."""

    in_keyring: bool
    path: Path
    """The file itself, or the note that names the account."""


def standing_place(client: Path) -> StandingPlace | None:
    """Where the client's standing passphrase is kept, or None where there is none."""
    folder = keys.keys_folder(client)
    for name, in_keyring in ((_FILE, False), (_NOTE, True)):
        if (folder / name).is_file():
            return StandingPlace(in_keyring, folder / name)
    return None


def standing_passphrase(client: Path) -> Secret | None:
    """The client's standing passphrase, or None where none was agreed on.

    Raises `UsageError` for a file that others may read, and where the keyring that
    should hold it does not.
    """
    place = standing_place(client)
    if place is None:
        return None
    kept = from_file(place.path)
    if not place.in_keyring:
        return kept
    found = from_keyring(SERVICE, kept.reveal())
    if found is None:
        raise UsageError(
            "the standing passphrase of this client should be in the system's keyring, and is not",
            where=plain_text(str(place.path)),
            remedy="Work on the machine and account where it was set, or set it anew with "
            "`packets passphrase`.",
        )
    return found


def keep_standing(
    client: Path, engagement_id: str, secret: Secret, *, in_keyring: bool
) -> StandingPlace:
    """Keep a passphrase that was judged, in its SASLprep form; an earlier one is replaced."""
    ready = prepared(secret)
    folder = keys.keys_folder(client)
    with storage_errors_of(folder):
        keys.make_keys_folder(client)
        if in_keyring:
            to_keyring(SERVICE, engagement_id, ready)
            write_durably(folder / _NOTE, f"{engagement_id}\n".encode())
            _remove(folder / _FILE)
            return StandingPlace(True, folder / _NOTE)
        write_durably(folder / _FILE, f"{ready.reveal()}\n".encode())
        _forget_account(folder / _NOTE)
        return StandingPlace(False, folder / _FILE)


def drop_standing(client: Path) -> bool:
    """Forget it; False where there was none. Packets that it has sealed keep their own copy."""
    folder = keys.keys_folder(client)
    there = standing_place(client) is not None
    with storage_errors_of(folder):
        _remove(folder / _FILE)
        _forget_account(folder / _NOTE)
    return there


def _forget_account(note: Path) -> None:
    if note.is_file():
        out_of_keyring(SERVICE, from_file(note).reveal())
        _remove(note)


def _remove(path: Path) -> None:
    if path.exists():
        path.unlink()
        sync_folder(path.parent)
