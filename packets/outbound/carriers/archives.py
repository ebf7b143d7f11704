"""Archives: zip, tar, and single files packed by gzip, bzip2 or xz."""

import bz2
import io
import lzma
import struct
import tarfile
import zipfile
import zlib
from collections.abc import Iterator

from packets.base.errors import Damaged, OverLimit
from packets.outbound.carriers.found import Budget, Finding, Part, Sort, Text, Unread

_ZIP_FAULTS = (
    zipfile.BadZipFile,
    zlib.error,
    lzma.LZMAError,
    struct.error,
    NotImplementedError,
    EOFError,
    OSError,
    RuntimeError,
    ValueError,
    IndexError,
    OverflowError,
)
_LOCAL_HEADER = 30
"""Bytes of a local file header before the name (APPNOTE 4.3.7)."""
_DESCRIPTOR = 24
"""A data descriptor, the longest thing that may stand behind a member (APPNOTE 4.3.9)."""
_PIECE = 256 * 1024
_TAIL = 66_000
"""The end record of a zip archive lies in these last bytes (APPNOTE 4.3.16)."""


def hides_zip(data: bytes) -> bool:
    """Whether a file of another kind ends in a zip archive."""
    return b"PK\x05\x06" in data[-_TAIL:] and zipfile.is_zipfile(io.BytesIO(data))


def zip_members(data: bytes, budget: Budget) -> Iterator[Part | Unread]:
    """Every member with its name, also those of the same name. Raises Damaged or OverLimit."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            yield from _gaps(data, archive)
            for info in archive.infolist():
                if info.is_dir() and not info.file_size:
                    yield Part(info.filename, b"")
                    continue
                if info.flag_bits & 1:
                    yield Unread("a member that is locked")
                    continue
                room = budget.next_part
                if info.file_size > room:
                    raise OverLimit("it unpacks to more than this program promises to read")
                with archive.open(info) as member:
                    body = member.read(room + 1)
                budget.take(len(body))
                yield Part(info.filename, body)
    except _ZIP_FAULTS:
        raise Damaged("an archive that cannot be unpacked whole") from None


def _gaps(data: bytes, archive: zipfile.ZipFile) -> Iterator[Unread]:
    """Bytes before the directory that belong to no member of it."""
    end = 0
    for info in sorted(archive.infolist(), key=lambda info: info.header_offset):
        at = info.header_offset
        if at - end > _DESCRIPTOR:
            yield Unread("bytes in the archive that belong to no member")
            return
        lengths = data[at + 26 : at + _LOCAL_HEADER]
        if len(lengths) < 4:
            raise Damaged("an archive that cannot be unpacked whole")
        name, extra = struct.unpack("<HH", lengths)
        end = max(end, at + _LOCAL_HEADER + name + extra + info.compress_size)
    if archive.start_dir - end > _DESCRIPTOR:
        yield Unread("bytes in the archive that belong to no member")


def read_tar(data: bytes, budget: Budget) -> Finding:
    """A tar archive: members, links, names of owners."""
    try:
        with tarfile.open(fileobj=io.BytesIO(data), mode="r:") as archive:
            for member in archive:
                told = [member.linkname, member.uname, member.gname, *member.pax_headers.values()]
                yield Text("names in the archive", "\n".join(map(str, told)), Sort.HIDDEN)
                file = archive.extractfile(member) if member.isfile() else None
                if file is None:
                    yield Part(member.name, b"")
                    continue
                if member.size > budget.next_part:
                    raise OverLimit("it unpacks to more than this program promises to read")
                body = file.read()
                budget.take(len(body))
                yield Part(member.name, body)
            if data[archive.offset :].strip(b"\0"):
                yield Unread("bytes behind the end of the archive")
    except (tarfile.TarError, *_ZIP_FAULTS):
        raise Damaged("an archive that cannot be unpacked whole") from None


def read_packed(data: bytes, budget: Budget) -> Finding:
    """The one file inside gzip (RFC 1952), bzip2 or xz; several in a row are one file."""
    body = bytearray()
    at = 0
    try:
        while at < len(data) and data[at:].strip(b"\0"):
            at = _unpack_one(data, at, body, budget.next_part)
    except (zlib.error, lzma.LZMAError, OSError, EOFError, ValueError):
        raise Damaged("an archive that cannot be unpacked whole") from None
    budget.take(len(body))
    yield Part("the file inside", bytes(body))


def _unpack_one(data: bytes, at: int, body: bytearray, room: int) -> int:
    """Unpack the stream that starts at `at` onto `body`; return where it ends."""
    unpack = _unpacker(data[at : at + 8])
    waiting = b""
    while not unpack.eof:
        if not waiting and getattr(unpack, "needs_input", True):
            waiting = data[at : at + _PIECE]
            at += len(waiting)
        more = unpack.decompress(waiting, _PIECE)
        if not more and not waiting and at >= len(data) and not unpack.eof:
            raise Damaged("an archive that cannot be unpacked whole")
        # zlib hands back what it has not taken yet; the others keep it for themselves.
        waiting = getattr(unpack, "unconsumed_tail", b"")
        body += more
        if len(body) > room:
            raise OverLimit("it unpacks to more than this program promises to read")
    return at - len(unpack.unused_data)


def _unpacker(data: bytes):  # type: ignore[no-untyped-def]  # three classes without a common name
    if data.startswith(b"\x1f\x8b"):
        return zlib.decompressobj(wbits=31)
    if data.startswith(b"BZh"):
        return bz2.BZ2Decompressor()
    if data.startswith(b"\xfd7zXZ\0"):
        return lzma.LZMADecompressor(format=lzma.FORMAT_XZ)
    raise Damaged("an archive with other bytes behind it")
