"""A PDF opened to its last object: carved, decrypted, object streams unpacked."""

import copy
import re
from dataclasses import dataclass, replace

from packets.base.errors import Damaged, Locked, OverLimit
from packets.base.limits import Limits
from packets.base.secret import Secret
from packets.outbound.objects.carving import Carved, carve
from packets.outbound.objects.decryption import crypt_filter, in_the_clear
from packets.outbound.objects.file_key import FileKey, open_with
from packets.outbound.objects.filters import Decoded, decoded, filters_of
from packets.outbound.objects.lexer import read_value
from packets.outbound.objects.values import FileObject, Ref, Value, place_of

_FREE_RATIO = 20
"""Inflated bytes up to this multiple of the stored ones cost nothing of the allowance."""


class InflationAllowance:
    """How much all streams of one file may inflate together beyond an ordinary ratio."""

    def __init__(self, limits: Limits) -> None:
        self.left = 4 * limits.stream_bytes
        self.one = limits.stream_bytes

    def spend(self, stored: int, plain: int) -> None:
        """Count one stream; raises OverLimit when the allowance is used up."""
        self.left -= max(0, plain - _FREE_RATIO * stored)
        if self.left < 0:
            raise OverLimit("streams that inflate beyond the limit, taken together")

    def share(self) -> "InflationAllowance":
        """As much again for whoever reads at the same time; what it spends is taken afterwards."""
        return copy.copy(self)

    def take(self, spent: int) -> None:
        """Count what was spent of a share: whoever spends next meets the limit."""
        self.left -= spent


@dataclass(frozen=True)
class OpenedFile:
    """Every object of a file in the clear."""

    objects: tuple[FileObject, ...]
    unpacked: tuple[tuple[FileObject, Decoded], ...]
    """Object streams with their decoded bytes."""
    trailers: tuple[dict[str, Value], ...]
    latest: dict[int, FileObject]
    """The last definition of each number, for following references."""
    encryption: FileKey | None
    encrypt_number: int
    """Number of the encryption dictionary's object; 0 where there is none."""
    revisions: int
    """How many times the file was saved: sections of its cross-reference."""
    between: tuple[bytes, ...]
    """What lies before, between and behind the objects of the file."""
    unread: tuple[str, ...]

    def resolved(self, value: Value) -> Value:
        """`value`, or what it refers to; null where a reference leads nowhere or in circles."""
        for _ in range(8):
            if not isinstance(value, Ref):
                return value
            target = self.latest.get(value.number)
            value = target.value if target is not None else None
        return None

    def deep(self, value: Value) -> Value:
        """`value` with the references in it resolved, three levels down."""
        return _deep(self.latest, value, 3)

    def decode(self, stream: FileObject, allowance: InflationAllowance) -> Decoded:
        """The bytes of a stream without its filters."""
        return _decode(self.latest, stream, allowance)


def open_file(
    data: bytes, passphrase: Secret | None, limits: Limits, allowance: InflationAllowance
) -> OpenedFile:
    """Carve, decrypt and unpack `data`.

    Raises Locked when the passphrase does not open it, Damaged when nothing in
    it is a PDF object, OverLimit beyond `limits`.
    """
    carved = carve(data, limits)
    if not carved.objects:
        raise Damaged("no PDF object in this file")
    trailers = (*carved.trailers, *_stream_trailers(carved))
    unread = list(carved.unread)
    encrypt_number, key = _unlock(carved, trailers, passphrase)
    clear: list[FileObject] = []
    for found in carved.objects:
        try:
            clear.append(_cleared(found, key, encrypt_number))
        except Damaged as fault:
            unread.append(f"{found.place}: {fault.what}")
            clear.append(replace(found, raw=None) if found.raw is not None else found)
    latest = {found.number: found for found in clear}
    unpacked: list[tuple[FileObject, Decoded]] = []
    inner: list[FileObject] = []
    for found in clear:
        if found.raw is not None and found.entries.get("Type") == "ObjStm":
            body = _decode(latest, found, allowance)
            unpacked.append((found, body))
            members, faults = _members(found, body.data, limits)
            inner += members
            unread += [*body.faults, *faults]
    for member in inner:
        latest.setdefault(member.number, member)
    return OpenedFile(
        (*clear, *inner),
        tuple(unpacked),
        trailers,
        latest,
        key,
        encrypt_number,
        carved.revisions,
        carved.between,
        tuple(unread),
    )


def _stream_trailers(carved: Carved) -> tuple[dict[str, Value], ...]:
    return tuple(found.entries for found in carved.objects if found.entries.get("Type") == "XRef")


def _unlock(
    carved: Carved, trailers: tuple[dict[str, Value], ...], passphrase: Secret | None
) -> tuple[int, FileKey | None]:
    named = [trailer for trailer in trailers if trailer.get("Encrypt") is not None]
    if not named:
        return 0, None
    if len({repr(trailer["Encrypt"]) for trailer in named}) > 1:
        raise Damaged("more than one encryption dictionary")
    encrypt, number = named[-1]["Encrypt"], 0
    if isinstance(encrypt, Ref):
        number = encrypt.number
        holders = [found for found in carved.objects if found.number == number]
        encrypt = holders[-1].value if holders else None
    if not isinstance(encrypt, dict):
        raise Damaged("an encryption dictionary that cannot be found")
    identifier = named[-1].get("ID")
    first = identifier[0] if isinstance(identifier, list) and identifier else b""
    typed = passphrase.reveal() if passphrase is not None else ""
    try:
        return number, open_with(encrypt, first if isinstance(first, bytes) else b"", typed)
    except Locked:
        if passphrase is None:
            raise Locked("this file asks for a password") from None
        raise


def _cleared(found: FileObject, key: FileKey | None, encrypt_number: int) -> FileObject:
    if key is None or found.number == encrypt_number:
        return found
    crypt = crypt_filter(found.entries, filters_of(found.entries)) if found.raw else None
    return in_the_clear(found, key, crypt)


def _decode(
    latest: dict[int, FileObject], stream: FileObject, allowance: InflationAllowance
) -> Decoded:
    raw = stream.raw or b""
    entries = dict(stream.entries)
    for key in ("Filter", "DecodeParms"):
        entries[key] = _deep(latest, entries.get(key), 3)
    body = decoded(stream, raw, entries, allowance.one)
    allowance.spend(len(raw), len(body.data))
    return body


def _deep(latest: dict[int, FileObject], value: Value, depth: int) -> Value:
    if isinstance(value, Ref):
        target = latest.get(value.number)
        value = target.value if target is not None else None
    if depth and isinstance(value, list):
        return [_deep(latest, item, depth - 1) for item in value[:16]]
    if depth and isinstance(value, dict):
        return {key: _deep(latest, item, depth - 1) for key, item in value.items()}
    return value


def _members(stream: FileObject, body: bytes, limits: Limits) -> tuple[list[FileObject], list[str]]:
    """The objects inside an object stream (7.5.7)."""
    count, first = stream.entries.get("N"), stream.entries.get("First")
    if not isinstance(count, int) or not isinstance(first, int) or not 0 <= first <= len(body):
        return [], [f"{stream.place}: an object stream without its table"]
    table = [int(number) for number in re.findall(rb"\d{1,10}", body[:first])]
    if len(table) != 2 * count:
        return [], [f"{stream.place}: an object stream whose table is not whole"]
    members: list[FileObject] = []
    faults: list[str] = []
    for number, offset in zip(table[::2], table[1::2], strict=True):
        spare: list[Value] = []
        try:
            value, _ = read_value(body, first + offset, nesting=limits.nesting, spare=spare)
        except Damaged as fault:
            faults.append(f"{place_of(number, 0)} inside {stream.place}: {fault.what}")
            continue
        members.append(FileObject(number, 0, value, inside=stream.number, spare=tuple(spare)))
    return members, faults
