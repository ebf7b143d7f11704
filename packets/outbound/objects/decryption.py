"""Strings and streams of an encrypted file in the clear (ISO 32000-2, 7.6.3)."""

import hashlib
from dataclasses import replace

from cryptography.hazmat.primitives.ciphers import Cipher, algorithms, modes

from packets.base.errors import Damaged
from packets.outbound.objects.file_key import FileKey, rc4
from packets.outbound.objects.values import FileObject, Name, Value


def in_the_clear(found: FileObject, key: FileKey, crypt: str | None) -> FileObject:
    """`found` with its strings and stream decrypted.

    `crypt` names the crypt filter that the stream asks for itself, if any.
    Raises Damaged where the ciphertext cannot be one.
    """
    kind = found.entries.get("Type") if found.raw is not None else None
    if kind == "XRef":
        return found
    seal = _ObjectSeal(key, found)
    value = seal.strings(found.value)
    spare = tuple(seal.strings(part) for part in found.spare)
    raw = found.raw
    if raw is not None:
        method = key.stream_method
        if crypt is not None:
            method = dict(key.methods).get(crypt, "Identity")
        elif kind == "Metadata" and not key.metadata:
            method = "Identity"
        raw = seal.opened(raw, method)
    return replace(found, value=value, raw=raw, spare=spare)


class _ObjectSeal:
    """The cipher of one object: from revision 5 on all objects share the file key."""

    def __init__(self, key: FileKey, found: FileObject) -> None:
        self.key = key
        self.salt = (
            found.number.to_bytes(4, "little")[:3] + found.generation.to_bytes(4, "little")[:2]
        )

    def strings(self, value: Value) -> Value:
        if isinstance(value, bytes):
            return self.opened(value, self.key.string_method)
        if isinstance(value, list):
            return [self.strings(item) for item in value]
        if isinstance(value, dict):
            return {key: self.strings(item) for key, item in value.items()}
        return value

    def opened(self, data: bytes, method: str) -> bytes:
        if method == "Identity" or not data:
            return data
        if method == "AESV3":
            return _aes(self.key.key, data)
        extra = b"sAlT" if method == "AESV2" else b""
        digest = hashlib.md5(self.key.key + self.salt + extra, usedforsecurity=False).digest()
        own = digest[: min(16, len(self.key.key) + 5)]
        return _aes(own, data) if method == "AESV2" else rc4(own, data)


def _aes(key: bytes, data: bytes) -> bytes:
    """AES-CBC with the vector in front; the padding is taken off where it is sound."""
    if len(data) < 16 or len(data) % 16:
        raise Damaged("ciphertext of a length that cannot be")
    if len(data) == 16:
        return b""
    engine = Cipher(algorithms.AES(key), modes.CBC(data[:16])).decryptor()
    plain = engine.update(data[16:]) + engine.finalize()
    pad = plain[-1]
    return plain[:-pad] if 1 <= pad <= 16 else plain


def crypt_filter(
    entries: dict[str, Value], chain: tuple[tuple[str, dict[str, Value]], ...]
) -> str | None:
    """Name of the crypt filter that a stream asks for itself; None where it asks for none."""
    for name, parameters in chain:
        if name == "Crypt":
            chosen = parameters.get("Name", entries.get("Name", Name("Identity")))
            return str(chosen)
    return None
