"""Passphrases kept for the office: `keys/<packet file name>.txt`, never beside the packet.

Data counts as unencrypted once its key was taken along (16 CFR 314.2(m)), so a
packet may not land in `keys/`, nor in the client folder itself.
"""

from pathlib import Path

from packets.base.errors import UsageError
from packets.base.files import sync_folder, write_durably
from packets.base.secret import Secret
from packets.sealing.number_free import plain_text
from packets.sealing.passphrase import from_file
from packets.sealing.storage_faults import storage_fault

FOLDER_NAME = "keys"


def keys_folder(client_folder: Path) -> Path:
    """Where the client's passphrases lie (mode 0700)."""
    return client_folder / FOLDER_NAME


def key_file(client_folder: Path, packet: str) -> Path:
    """The passphrase file of the packet with this file name."""
    return keys_folder(client_folder) / f"{packet}.txt"


def refuse_beside_keys(client_folder: Path, out_folder: Path) -> None:
    """Raise `UsageError` when packets would land with their keys or with the client's papers."""
    out = out_folder.resolve()
    keys = keys_folder(client_folder).resolve()
    if out == keys or keys in out.parents:
        what = "a packet may not lie in the folder of its passphrase"
    elif out == client_folder.resolve():
        what = "a packet may not lie in the client folder itself, with the papers and the keys"
    else:
        return
    raise UsageError(
        what, where=plain_text(str(out_folder)), remedy="Choose another folder with --out."
    )


def keep(client_folder: Path, packet: str, passphrase: Secret) -> Path:
    """Write the passphrase durably (0600) and return its file.

    The caller has made sure that no such file exists. A disk that refuses becomes
    one of our errors here, so that no frame holding the passphrase travels on.
    """
    folder = keys_folder(client_folder)
    path = key_file(client_folder, packet)
    code: int | None = None
    try:
        make_keys_folder(client_folder)
        write_durably(path, f"{passphrase.reveal()}\n".encode())
    except OSError as error:
        code = error.errno or -1
    if code is not None:
        raise storage_fault(code, folder)
    return path


def make_keys_folder(client_folder: Path) -> None:
    """Create the folder, or take group's and others' rights from it."""
    folder = keys_folder(client_folder)
    folder.mkdir(mode=0o700, exist_ok=True)
    if folder.stat().st_mode & 0o077:
        folder.chmod(0o700)


def discard(client_folder: Path, packet: str) -> None:
    """Remove the passphrase of a packet that was never released."""
    path = key_file(client_folder, packet)
    if path.exists():
        path.unlink()
        sync_folder(path.parent)


def kept_for(packet: Path) -> Secret | None:
    """The passphrase kept for a packet that lies in a folder of its client folder, or None."""
    path = key_file(packet.resolve().parent.parent, packet.name)
    return from_file(path) if path.is_file() else None
