"""The passphrase of the office's key: from a file or the keyboard, and only where one is needed."""

from collections.abc import Callable
from pathlib import Path

from packets.base.secret import Secret
from packets.handover.office_keys import key_asks_for_passphrase
from packets.sealing.passphrase import from_file


def office_key_passphrase(
    client: Path, office: Path | None, file: Path | None, ask: Callable[[str], str]
) -> Secret | None:
    """None for an office without a key, and for a key that no passphrase protects.

    Asked for before the work begins, rather than after an hour of it.
    """
    if not key_asks_for_passphrase(client, office):
        return None
    return from_file(file) if file else Secret(ask("Passphrase of the office's key: "))
