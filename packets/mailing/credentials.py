"""The password of the office's mail account: from a private file or the system's keyring."""

from pathlib import Path

from packets.base.errors import UsageError
from packets.base.secret import Secret
from packets.sealing.passphrase import from_file
from packets.sealing.system_keyring import from_keyring

SERVICE = "packets mail"
"""Under this name, with `user@host` as the account, the password lies in the keyring."""


def password_for(host: str, user: str, file: Path | None) -> Secret | None:
    """The password of `user`; None where there is no user, who then sends without one.

    Raises `UsageError` where it is missing, or no login could carry it.
    """
    if not user:
        if file is not None:
            raise UsageError(
                "a password is given, but no user",
                where="--smtp",
                remedy="Write the user before the host: smtps://user@mail.example.org.",
            )
        return None
    found = from_file(file) if file is not None else from_keyring(SERVICE, f"{user}@{host}")
    if found is None:
        raise UsageError(
            "there is no password for this mail account",
            where=f"keyring, {SERVICE}",
            remedy="Put it into a file that only you may read (chmod 600) and give that with "
            f"--credentials, or run: keyring set '{SERVICE}' USER@HOST",
        )
    if not found.reveal().isascii() or not found.reveal().isprintable():
        raise UsageError(
            "the password of the mail account has characters that its login cannot carry",
            where="--credentials" if file else f"keyring, {SERVICE}",
        )
    return found
