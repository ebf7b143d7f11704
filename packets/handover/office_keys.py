"""The office's key, found through office.toml: to sign with, and to prove by."""

from pathlib import Path
from typing import Protocol

from packets.base.errors import FileFaults, UsageError
from packets.base.secret import Secret
from packets.intake.office import KnownOffice, find_office
from packets.recipe.text_file import shown_path
from packets.sealing.office_key import (
    PUBLIC_SUFFIX,
    NewKey,
    PublicKey,
    Signer,
    is_protected,
    load_public,
    new_key,
    open_signer,
)

WITHOUT_STORE = "office-key"
"""Folder of the key, beside office.toml, in an office that keeps no signatures."""


class SigningWish(Protocol):
    """Whoever wants something signed."""

    @property
    def client(self) -> Path: ...

    @property
    def office(self) -> Path | None: ...

    @property
    def key_passphrase(self) -> Secret | None: ...


def office_signer(wish: SigningWish) -> Signer | None:
    """The office's key, opened; None where office.toml names none.

    Raises `Locked` for a missing or wrong passphrase, `UsageError` for a key that is
    not there: an office that wants its packets signed gets none unsigned.
    """
    path = _key_of(find_office(wish.client, wish.office))
    return open_signer(path, wish.key_passphrase) if path else None


def key_asks_for_passphrase(client: Path, office: Path | None) -> bool:
    """Whether the office of this client folder has a key that a passphrase opens."""
    path = _key_of(find_office(client, office))
    return path is not None and is_protected(path)


def trusted_keys(
    beside: Path, given: tuple[Path, ...], office: Path | None = None
) -> tuple[PublicKey, ...]:
    """The public keys to prove by: those given, else all that lie beside the office's own.

    `beside` is any path in the office's folders. An office that made a new key keeps
    the old public ones, so that what was signed before is still proved. Faults in an
    office.toml that nobody named stop nothing: then there is no key to prove by.
    """
    if given:
        return tuple(load_public(path) for path in given)
    try:
        return tuple(key for _, key in office_public_keys(beside, office))
    except FileFaults:
        if office is not None:
            raise
        return ()


def office_public_keys(
    beside: Path, office: Path | None = None
) -> tuple[tuple[Path, PublicKey], ...]:
    """Each public key that lies beside the office's own, with its file."""
    key = _key_of(find_office(beside, office))
    if key is None or not key.parent.is_dir():
        return ()
    files = sorted(key.parent.glob(f"*{PUBLIC_SUFFIX}"))
    return tuple((path, load_public(path)) for path in files)


def new_office_key(folder: Path, passphrase: Secret | None) -> tuple[NewKey, str]:
    """Make a key in the store of the office whose office.toml is found from `folder` upward.

    With it comes the value for `key` in office.toml, which nobody but the office
    writes. Raises `UsageError` where there is no office.toml, and what `new_key` raises.
    """
    office = find_office(folder)
    if office is None:
        raise UsageError(
            "there is no office.toml in this folder, nor above it",
            where=shown_path(folder),
            remedy="Run `packets new` with the folder of all clients and `--office` first.",
        )
    home = office.path.parent
    made = new_key(office.store or home / WITHOUT_STORE, passphrase)
    inside = made.private.is_relative_to(home)
    return made, str(made.private.relative_to(home) if inside else made.private)


def _key_of(office: KnownOffice | None) -> Path | None:
    return office.key if office else None
