"""From passphrase to file key: the standard security handler (ISO 32000-2, 7.6.4).

Revision 6 is what this program writes; 2 to 5 are here so that files of others
can be judged too. Nothing here protects anything: it only opens.
"""

import hashlib
import unicodedata
from dataclasses import dataclass, field

from cryptography.hazmat.decrepit.ciphers.algorithms import ARC4
from cryptography.hazmat.primitives.ciphers import Cipher, algorithms, modes

from packets.base.errors import Damaged, Locked
from packets.outbound.objects.values import Value

_PAD = bytes.fromhex("28bf4e5e4e758a4164004e56fffa01082e2e00b6d0683e802f0ca9fe6453697a")


@dataclass(frozen=True)
class FileKey:
    """The key of an opened file, and how strings and streams use it."""

    key: bytes = field(repr=False)
    string_method: str
    """`AESV3`, `AESV2`, `V2` or `Identity`."""
    stream_method: str
    methods: tuple[tuple[str, str], ...]
    """Every crypt filter that the file names, with its method."""
    metadata: bool
    """False when the document's metadata stream is not encrypted."""
    revision: int


def open_with(encrypt: dict[str, Value], file_id: bytes, passphrase: str) -> FileKey:
    """The file key behind `passphrase`, as user or as owner.

    Raises Locked when it does not open the file, Damaged where the encryption
    dictionary is of no kind known here.
    """
    if encrypt.get("Filter") != "Standard":
        raise Damaged("encrypted by a method that this check does not know")
    revision = _number(encrypt, "R")
    key = (
        _key_by_hash(encrypt, passphrase, revision)
        if revision in (5, 6)
        else _key_by_digest(encrypt, file_id, passphrase, revision)
    )
    if key is None:
        raise Locked("the passphrase does not open this file")
    methods = _methods(encrypt)
    by_name = dict(methods)
    default = "V2" if _number(encrypt, "V") < 4 else "Identity"
    return FileKey(
        key,
        by_name.get(str(encrypt.get("StrF", "Identity")), default),
        by_name.get(str(encrypt.get("StmF", "Identity")), default),
        methods,
        encrypt.get("EncryptMetadata") is not False,
        revision,
    )


def _methods(encrypt: dict[str, Value]) -> tuple[tuple[str, str], ...]:
    filters = encrypt.get("CF")
    found: list[tuple[str, str]] = []
    for name, entries in (filters if isinstance(filters, dict) else {}).items():
        method = entries.get("CFM", "None") if isinstance(entries, dict) else "None"
        if method not in ("AESV3", "AESV2", "V2", "None"):
            raise Damaged("encrypted by a method that this check does not know")
        found.append((name, "Identity" if method == "None" else str(method)))
    return tuple(found)


def _number(encrypt: dict[str, Value], key: str) -> int:
    value = encrypt.get(key, 0)
    if not isinstance(value, int):
        raise Damaged("an encryption dictionary that cannot be read")
    return value


def _text(encrypt: dict[str, Value], key: str, least: int) -> bytes:
    value = encrypt.get(key)
    if not isinstance(value, bytes) or len(value) < least:
        raise Damaged("an encryption dictionary that cannot be read")
    return value


def _spellings(passphrase: str) -> tuple[bytes, ...]:
    """The passphrase as RFC 4013 prepares it, and as it was typed; at most 127 bytes each."""
    prepared = unicodedata.normalize("NFKC", passphrase.replace("\u00a0", " "))
    spelled = (prepared.encode()[:127], passphrase.encode()[:127])
    return tuple(dict.fromkeys(spelled))


def _key_by_hash(encrypt: dict[str, Value], passphrase: str, revision: int) -> bytes | None:
    """Algorithm 2.A: revisions 5 and 6."""
    owner, user = _text(encrypt, "O", 48)[:48], _text(encrypt, "U", 48)[:48]
    for word in _spellings(passphrase):
        for record, extra, sealed in ((user, b"", "UE"), (owner, user, "OE")):
            check, salt = record[32:40], record[40:48]
            if _hash(word, check, extra, revision) == record[:32]:
                between = _hash(word, salt, extra, revision)
                return _aes_cbc(between, bytes(16), _text(encrypt, sealed, 32)[:32])
    return None


def _hash(word: bytes, salt: bytes, extra: bytes, revision: int) -> bytes:
    """Algorithm 2.B; one plain SHA-256 for revision 5."""
    key = hashlib.sha256(word + salt + extra).digest()
    if revision == 5:
        return key
    turn = 0
    while True:
        block = (word + key + extra) * 64
        engine = Cipher(algorithms.AES(key[:16]), modes.CBC(key[16:32])).encryptor()
        mixed = engine.update(block)
        kind = ("sha256", "sha384", "sha512")[sum(mixed[:16]) % 3]
        key = hashlib.new(kind, mixed).digest()
        turn += 1
        if turn >= 64 and mixed[-1] <= turn - 32:
            return key[:32]


def _aes_cbc(key: bytes, vector: bytes, data: bytes) -> bytes:
    engine = Cipher(algorithms.AES(key), modes.CBC(vector)).decryptor()
    return engine.update(data) + engine.finalize()


def _key_by_digest(
    encrypt: dict[str, Value], file_id: bytes, passphrase: str, revision: int
) -> bytes | None:
    """Algorithms 2, 6 and 7: revisions 2 to 4."""
    if revision not in (2, 3, 4):
        raise Damaged("encrypted by a method that this check does not know")
    length = 5 if revision == 2 else _number({"L": encrypt.get("Length", 40)}, "L") // 8
    if revision == 4:
        length = 16
    if not 5 <= length <= 16:
        raise Damaged("an encryption dictionary that cannot be read")
    typed = passphrase.encode("latin-1", "replace")
    for word in (typed, _user_word(encrypt, typed, revision, length)):
        key = _digest_key(encrypt, file_id, word, revision, length)
        expected = _user_record(key, file_id, revision)
        if _text(encrypt, "U", 16)[: len(expected)] == expected:
            return key
    return None


def _digest_key(
    encrypt: dict[str, Value], file_id: bytes, word: bytes, revision: int, length: int
) -> bytes:
    permissions = (_number(encrypt, "P") & 0xFFFFFFFF).to_bytes(4, "little")
    seed = (word + _PAD)[:32] + _text(encrypt, "O", 32)[:32] + permissions + file_id
    if revision == 4 and encrypt.get("EncryptMetadata") is False:
        seed += b"\xff\xff\xff\xff"
    key = _md5(seed)
    for _ in range(50 if revision >= 3 else 0):
        key = _md5(key[:length])
    return key[:length]


def _user_record(key: bytes, file_id: bytes, revision: int) -> bytes:
    if revision == 2:
        return rc4(key, _PAD)
    record = _md5(_PAD + file_id)
    for turn in range(20):
        record = rc4(bytes(byte ^ turn for byte in key), record)
    return record


def _user_word(encrypt: dict[str, Value], typed: bytes, revision: int, length: int) -> bytes:
    """The user password that the owner password unlocks (algorithm 7)."""
    key = _md5((typed + _PAD)[:32])
    for _ in range(50 if revision >= 3 else 0):
        key = _md5(key)
    key = key[:length]
    word = _text(encrypt, "O", 32)[:32]
    for turn in range(19 if revision >= 3 else 0, -1, -1):
        word = rc4(bytes(byte ^ turn for byte in key), word)
    return word


def _md5(data: bytes) -> bytes:
    return hashlib.md5(data, usedforsecurity=False).digest()


def rc4(key: bytes, data: bytes) -> bytes:
    """RC4, as revisions 2 to 4 use it."""
    try:
        return Cipher(ARC4(key), None).decryptor().update(data)
    except ValueError:
        raise Damaged("a key of a length that this check does not know") from None
