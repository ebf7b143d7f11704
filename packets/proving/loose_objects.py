"""Objects written behind a finished file, ciphered as the file is (ISO 32000-2, 7.6)."""

import hashlib
import io
import re
import secrets
from collections.abc import Callable

import pikepdf
from cryptography.hazmat.decrepit.ciphers.algorithms import ARC4
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


def loose_stream(sealed: bytes, coding: bytes, entries: bytes = b"") -> bytes:
    """A stream object; `coding` as it stands behind /Filter."""
    head = b"<< %s /Filter %s /Length %d >>\nstream\n" % (entries, coding, len(sealed))
    return head + sealed + b"\nendstream"


def with_loose_object(data: bytes, lock: Lock, body: Callable[[Sealing], bytes]) -> bytes:
    """The file with one more object that no cross-reference lists."""
    seal = _sealing(data, lock)
    return appended(data, b"%d 0 obj\n%s\nendobj\n" % (_NUMBER, body(seal)))


def unlisted(data: bytes, before: bytes) -> bytes:
    """The file with a last revision that lists nothing, so that readers find its end."""
    return with_revision(data, before, b"0 1\n0000000000 65535 f \n")


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


def commented(data: bytes, at: int, comment: bytes) -> bytes:
    """The file with a comment put in at `at`, its cross-reference table moved along.

    For files with a table (7.5.4), not with a stream in its place.
    """
    table = data.rfind(b"\nxref\n")

    def moved(found: "re.Match[bytes]") -> bytes:
        place = int(found[1])
        return b"%010d %s n" % (place + len(comment) * (place >= at), found[2])

    rows = re.sub(rb"(\d{10}) (\d{5}) n", moved, data[table:])
    rows = re.sub(
        rb"startxref\s+(\d+)",
        lambda found: b"startxref\n%d" % (int(found[1]) + len(comment)),
        rows,
    )
    return data[:at] + comment + data[at:table] + rows


def _sealing(data: bytes, lock: Lock) -> Sealing:
    if not lock.revision:
        return bytes
    key = lock.file_key or _file_key(data, lock)
    if lock.revision < 5:
        key = _object_key(key, salted=lock.revision == 4)
    if lock.revision < 4:
        return lambda plain: Cipher(ARC4(key), None).encryptor().update(plain)
    return lambda plain: _aes(key, plain)


def _file_key(data: bytes, lock: Lock) -> bytes:
    with pikepdf.open(io.BytesIO(data), password=lock.passphrase.reveal()) as locked:
        return bytes(locked.encryption.encryption_key)


def _object_key(key: bytes, *, salted: bool) -> bytes:
    """Algorithm 1: up to revision 4 every object has a key of its own (7.6.3.2)."""
    seed = key + _NUMBER.to_bytes(3, "little") + bytes(2) + (b"sAlT" if salted else b"")
    return hashlib.md5(seed, usedforsecurity=False).digest()[: min(16, len(key) + 5)]


def _aes(key: bytes, plain: bytes) -> bytes:
    vector = secrets.token_bytes(16)
    padder = padding.PKCS7(128).padder()
    engine = Cipher(algorithms.AES(key), modes.CBC(vector)).encryptor()
    body = padder.update(plain) + padder.finalize()
    return vector + engine.update(body) + engine.finalize()
