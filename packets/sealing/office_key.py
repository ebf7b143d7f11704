"""The office's key: Ed25519 (RFC 8032), by which it signs what it let out and its ledgers.

The private key is a PKCS #8 PEM file (RFC 5958) that only its owner may read,
optionally under a passphrase. The public key lies beside it as PEM
(SubjectPublicKeyInfo, RFC 5280) and may be given to anybody. A key is known by the
SHA-256 of its public half in DER: its fingerprint.
"""

from __future__ import annotations

import itertools
import os
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from cryptography.exceptions import InvalidSignature

from packets.base.errors import Locked, UsageError
from packets.base.files import partial_file, sync_folder
from packets.base.secret import Secret
from packets.intake.private_files import close_to_others
from packets.sealing.number_free import plain_text
from packets.sealing.passphrase import check_strength, prepared
from packets.sealing.release_steps import give_name
from packets.sealing.storage_faults import storage_errors_of

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import (
        Ed25519PrivateKey,
        Ed25519PublicKey,
    )

STEM = "office-key"
PUBLIC_SUFFIX = ".public.pem"
_LARGEST = 16 * 1024
_PROTECTED = b"ENCRYPTED PRIVATE KEY"


@dataclass(frozen=True)
class PublicKey:
    """The half of the key that proves and cannot sign."""

    fingerprint: str
    """SHA-256 of the key's DER form, 64 hexadecimal digits."""
    key: Ed25519PublicKey = field(repr=False, compare=False)

    def holds(self, signature: bytes, data: bytes) -> bool:
        """Whether `signature` was made over `data` with the private half."""
        try:
            self.key.verify(signature, data)
        except InvalidSignature:
            return False
        return True


@dataclass(frozen=True)
class Signer:
    """The private half, opened. It shows nothing of itself."""

    fingerprint: str
    key: Ed25519PrivateKey = field(repr=False, compare=False)

    def sign(self, data: bytes) -> bytes:
        """The 64 bytes of an Ed25519 signature; the same each time for the same data."""
        return self.key.sign(data)


@dataclass(frozen=True)
class NewKey:
    """A key that was made."""

    private: Path
    public: Path
    fingerprint: str
    protected: bool
    """Whether a passphrase opens it."""


def new_key(folder: Path, passphrase: Secret | None) -> NewKey:
    """Make a key pair in `folder` under the first free name; no key is ever written over.

    Raises `UsageError` for a weak passphrase or a folder that cannot be written,
    `InputRefused` for a full disk; then there is no private key.
    """
    from packets.sealing import key_forms  # noqa: PLC0415 - most builds sign nothing

    word = None
    if passphrase is not None:
        check_strength(passphrase)
        word = prepared(passphrase)
    key = key_forms.fresh_key()
    public = key_forms.public_pem(key.public_key())
    with storage_errors_of(folder):
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        private_path, public_path = _free_names(folder)
        with (
            partial_file(private_path, key_forms.private_pem(key, word)) as private_partial,
            partial_file(public_path, public, mode=0o644) as public_partial,
        ):
            give_name(public_partial, public_path)
            give_name(private_partial, private_path)
            sync_folder(folder)
    fingerprint = key_forms.fingerprint(key.public_key())
    return NewKey(private_path, public_path, fingerprint, passphrase is not None)


def _free_names(folder: Path) -> tuple[Path, Path]:
    for number in itertools.count(1):
        stem = STEM if number == 1 else f"{STEM}-{number}"
        private = folder / f"{stem}.pem"
        public = public_path_of(private)
        if not (os.path.lexists(private) or os.path.lexists(public)):
            break
    return private, public


def public_path_of(private: Path) -> Path:
    """`office-key.public.pem` beside `office-key.pem`."""
    return private.with_name(private.stem + PUBLIC_SUFFIX)


def is_protected(path: Path) -> bool:
    """Whether a passphrase opens the private key at this path."""
    return _PROTECTED in _bytes_of(path)


def open_signer(path: Path, passphrase: Secret | None = None) -> Signer:
    """The private key at `path`, ready to sign; a file open to others is closed to them.

    Raises `Locked` when the passphrase is missing or wrong, `UsageError` when the
    file is not there or is no Ed25519 private key.
    """
    from packets.sealing import key_forms  # noqa: PLC0415 - as above

    data = _bytes_of(path)
    where = plain_text(str(path))
    close_to_others(path, where)
    protected = _PROTECTED in data
    if protected and passphrase is None:
        raise Locked("the office's key asks for its passphrase", where=where, remedy=_HOW_TO_GIVE)
    word = prepared(passphrase).reveal().encode() if protected and passphrase else None
    key = key_forms.private_of(data, word)
    if key is not None:
        return Signer(key_forms.fingerprint(key.public_key()), key)
    if protected:
        raise Locked(
            "the passphrase does not open the office's key", where=where, remedy=_HOW_TO_GIVE
        )
    raise UsageError(
        "this is no Ed25519 private key in PEM form",
        where=where,
        remedy="Make one with `packets office-key new`, or name the right file in office.toml.",
    )


_HOW_TO_GIVE = "Give it at the keyboard, or in a file by --key-password-file."


def load_public(path: Path) -> PublicKey:
    """The public key at `path`. Raises `UsageError` when that is none."""
    from packets.sealing import key_forms  # noqa: PLC0415 - as above

    key = key_forms.public_of(_bytes_of(path))
    if key is None:
        raise UsageError(
            "this is no Ed25519 public key in PEM form",
            where=plain_text(str(path)),
            remedy=f"Ask the office for its public key, a file that ends in {PUBLIC_SUFFIX}.",
        )
    return PublicKey(key_forms.fingerprint(key), key)


def _bytes_of(path: Path) -> bytes:
    try:
        with path.open("rb") as file:
            return file.read(_LARGEST)
    except OSError:
        raise UsageError("the key file cannot be read", where=plain_text(str(path))) from None
