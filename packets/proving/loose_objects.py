"""Objects written behind a finished file, ciphered as the file is (ISO 32000-2, 7.6)."""

import io
import re
import secrets
from collections.abc import Callable

import pikepdf
from cryptography.hazmat.primitives import padding
from cryptography.hazmat.primitives.ciphers import Cipher, algorithms, modes

from packets.proving.copies import Lock

Sealing = Callable[[bytes], bytes]
"""From plain bytes of a string or stream to what stands in the file."""

_NUMBER = 990_000
"""Of the loose object; far above those of ordinary files."""


def appended(data: bytes, extra: bytes) -> bytes:
    """`extra` on lines of its own behind the file."""
    return data.rstrip(b"\n") + b"\n" + extra


def loose_string(data: bytes) -> bytes:
    """A string object whose bytes lie open, apart from those that must be escaped."""
    marks = {0x28: b"\\(", 0x29: b"\\)", 0x5C: b"\\\\", 0x0D: b"\\r"}
    return b"(" + b"".join(marks.get(byte, bytes([byte])) for byte in data) + b")"


def with_loose_object(data: bytes, lock: Lock, body: Callable[[Sealing], bytes]) -> bytes:
    """The file with one more object that no cross-reference lists."""
    seal = _sealing(data, lock)
    return appended(data, b"%d 0 obj\n%s\nendobj\n" % (_NUMBER, body(seal)))


def freed(data: bytes, before: bytes) -> bytes:
    """The file with a last revision in which the loose object is free."""
    return with_revision(data, before, b"%d 1\n0000000000 00001 f \n" % _NUMBER)


def with_revision(data: bytes, before: bytes, row: bytes) -> bytes:
    """`data`, which is `before` with more behind it, closed by a cross-reference with `row`."""
    previous = int(re.findall(rb"startxref\s+(\d+)", before)[-1])
    tail = before[previous:]
    entries = [
        found[0]
        for key in (rb"/Root \d+ 0 R", rb"/Size \d+", rb"/Encrypt \d+ 0 R", rb"/ID \[[^\]]*\]")
        if (found := re.search(key, tail))
    ]
    trailer = b"trailer\n<< %s /Prev %d >>\n" % (b" ".join(entries), previous)
    end = b"startxref\n%d\n%%%%EOF\n" % len(data)
    return data + b"xref\n" + row + trailer + end


def _sealing(data: bytes, lock: Lock) -> Sealing:
    if not lock.revision:
        return bytes
    with pikepdf.open(io.BytesIO(data), password=lock.passphrase.reveal()) as locked:
        key = bytes(locked.encryption.encryption_key)

    def seal(plain: bytes) -> bytes:
        vector = secrets.token_bytes(16)
        padder = padding.PKCS7(128).padder()
        engine = Cipher(algorithms.AES(key), modes.CBC(vector)).encryptor()
        body = padder.update(plain) + padder.finalize()
        return vector + engine.update(body) + engine.finalize()

    return seal
