"""The forms of the office's key: made, as bytes, and read from bytes again.

Apart from `office_key.py`, and imported only where there is a key: the library's reader of
keys of every other kind comes along, and most builds sign nothing.
"""

from cryptography.exceptions import UnsupportedAlgorithm
from cryptography.hazmat.primitives import serialization as form
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey

from packets.base.canonical import sha256_hex
from packets.base.secret import Secret


def fresh_key() -> Ed25519PrivateKey:
    """A new private key."""
    return Ed25519PrivateKey.generate()


def private_pem(key: Ed25519PrivateKey, passphrase: Secret | None) -> bytes:
    """PKCS #8 in PEM, locked by the passphrase where there is one, as it was prepared."""
    locked: form.KeySerializationEncryption = form.NoEncryption()
    if passphrase is not None:
        locked = form.BestAvailableEncryption(passphrase.reveal().encode())
    return key.private_bytes(form.Encoding.PEM, form.PrivateFormat.PKCS8, locked)


def public_pem(key: Ed25519PublicKey) -> bytes:
    """SubjectPublicKeyInfo in PEM."""
    return _public_bytes(key, form.Encoding.PEM)


def fingerprint(key: Ed25519PublicKey) -> str:
    """SHA-256 of the key's DER form, 64 hexadecimal digits."""
    return sha256_hex(_public_bytes(key, form.Encoding.DER))


def _public_bytes(key: Ed25519PublicKey, encoding: form.Encoding) -> bytes:
    return key.public_bytes(encoding, form.PublicFormat.SubjectPublicKeyInfo)


def private_of(data: bytes, word: bytes | None) -> Ed25519PrivateKey | None:
    """The private key in these bytes; None where they hold no such key, or it does not open."""
    try:
        key = form.load_pem_private_key(data, word)
    except (ValueError, TypeError, UnsupportedAlgorithm):
        return None
    return key if isinstance(key, Ed25519PrivateKey) else None


def public_of(data: bytes) -> Ed25519PublicKey | None:
    """The public key in these bytes; None where they hold no such key."""
    try:
        key = form.load_pem_public_key(data)
    except (ValueError, UnsupportedAlgorithm):
        return None
    return key if isinstance(key, Ed25519PublicKey) else None
