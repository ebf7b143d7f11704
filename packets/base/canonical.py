"""Canonical JSON (RFC 8785) and the checksums made over it (FIPS 180-4 SHA-256)."""

import hashlib
from typing import TypeAlias

import rfc8785

Json: TypeAlias = "bool | int | float | str | list[Json] | dict[str, Json] | None"


def canonical_json(value: Json) -> bytes:
    """The RFC 8785 form of `value`: sorted members, no white space, UTF-8."""
    return rfc8785.dumps(value)


def sha256_hex(data: bytes) -> str:
    """SHA-256 of bytes as 64 lower-case hexadecimal digits."""
    return hashlib.sha256(data).hexdigest()


def checksum_of(record: dict[str, Json]) -> str:
    """SHA-256 over the canonical form of every key except `checksum` itself."""
    rest = {key: value for key, value in record.items() if key != "checksum"}
    return sha256_hex(canonical_json(rest))
