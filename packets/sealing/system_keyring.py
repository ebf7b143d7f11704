"""The system's keyring, through the `keyring` library where the office has installed it."""

import importlib
from types import ModuleType

from packets.base.errors import UsageError
from packets.base.secret import Secret

_INSTALL = "Install the extra with `pip install 'packets[keyring]'`, or use a file instead."


def from_keyring(service: str, account: str) -> Secret | None:
    """What the keyring holds for an account; None without it, or without a keyring at all.

    Raises `UsageError` for a keyring that is there but does not answer.
    """
    keyring = _library()
    if keyring is None:
        return None
    found: object = None
    answered = True
    try:
        found = keyring.get_password(service, account)
    except Exception as error:  # each backend raises errors of its own
        answered = type(error).__name__ == "NoKeyringError"
    if not answered:
        raise _silent(service)
    return Secret(found) if isinstance(found, str) and found else None


def to_keyring(service: str, account: str, secret: Secret) -> None:
    """Put a secret into the keyring. Raises `UsageError` where there is none that takes it."""
    keyring = _library()
    if keyring is None:
        raise UsageError("the system's keyring cannot be reached", where=service, remedy=_INSTALL)
    taken = True
    try:
        keyring.set_password(service, account, secret.reveal())
    except Exception:  # each backend raises errors of its own
        taken = False
    if not taken:
        raise _silent(service)


def out_of_keyring(service: str, account: str) -> None:
    """Take a secret out again; nothing happens where it is not there."""
    keyring = _library()
    if keyring is None or from_keyring(service, account) is None:
        return
    gone = True
    try:
        keyring.delete_password(service, account)
    except Exception:  # each backend raises errors of its own
        gone = False
    if not gone:
        raise _silent(service)


def _silent(service: str) -> UsageError:
    return UsageError(
        "the system's keyring does not answer",
        where=service,
        remedy="Unlock it and run the command again, or use a file that only you may read.",
    )


def _library() -> ModuleType | None:
    try:
        return importlib.import_module("keyring")
    except ImportError:
        return None
