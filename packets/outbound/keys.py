"""Finding the passphrase of a packet: `<client>/keys/<packet file name>.txt`."""

from pathlib import Path

from packets.base.secret import Secret

_FOLDER_OF_PACKETS = "outbound"
_FOLDER_OF_KEYS = "keys"
_LONGEST = 1024


def keys_for(path: Path) -> Secret | None:
    """The passphrase kept for the packet at `path`; None where none is kept.

    The key lies in the client folder's `keys/`, never beside the packet. A file
    that is a link, empty or too long for a passphrase is no key.
    """
    folder = path.absolute().parent
    if folder.name != _FOLDER_OF_PACKETS:
        return None
    kept = folder.parent / _FOLDER_OF_KEYS / f"{path.name}.txt"
    try:
        if kept.is_symlink() or not kept.is_file() or kept.stat().st_size > _LONGEST:
            return None
        word = kept.read_text(encoding="utf-8").strip("\r\n")
    except (OSError, UnicodeDecodeError):
        return None
    return Secret(word) if word else None
