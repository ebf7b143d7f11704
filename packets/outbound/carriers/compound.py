"""Compound files of OLE: mail as mail programs of an office save it (.msg), stream by stream."""

import io
import struct
from collections.abc import Iterator

import olefile

from packets.base.errors import Damaged, OverLimit
from packets.outbound.carriers.found import Budget, Finding, Part, Sort, Text

MAGIC = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_PROPERTY = "__substg1.0_"
_FIXED = "__properties_version1.0"
_UNICODE, _EIGHT_BIT, _BINARY = "001F", "001E", "0102"
_ATTACHED = "3701"
_RICH_TEXT = "1009"
_NAMES = ("3707", "3704", "3001")
"""Properties that name an attachment, the longest name first (MS-OXCMSG 2.2.2)."""
_SHOWN = frozenset({"0037", "1000", "0E04", "0E03", "0E02", "0C1A", "0C1F", "0070", "3707", "3704"})
"""Subject, body and the people: what a person reads."""
_MOST_IDENTIFIER = 4096
"""A binary property up to this size is an identifier of the mail system; a longer one is a file."""
_FAULTS = (
    OSError,
    ValueError,
    IndexError,
    KeyError,
    OverflowError,
    struct.error,
    TypeError,
    AttributeError,
)


def read_compound(data: bytes, budget: Budget) -> Finding:
    """Each stream by its property; one of no known kind is unread. Raises Damaged or OverLimit."""
    try:
        with olefile.OleFileIO(io.BytesIO(data)) as ole:
            paths = ["/".join(parts) for parts in ole.listdir(streams=True, storages=False)]
            is_mail = _FIXED in paths
            for path in paths:
                if ole.get_size(path) > budget.next_part:
                    raise OverLimit("it unpacks to more than this program promises to read")
                body = ole.openstream(path).read()
                budget.take(len(body))
                yield Text("name of a stream", path, Sort.HIDDEN)
                yield from _stream(ole, path, body) if is_mail else _other(body)
    except _FAULTS:
        raise Damaged("a compound file that cannot be taken apart") from None


def _other(body: bytes) -> Iterator[Part]:
    """A stream of an older office file: text is read, the rest is of no kind that is known."""
    yield Part("a stream of the file", body)


def _identifier(body: bytes) -> Iterator[Text]:
    for coding in ("latin-1", "utf-16-le"):
        yield Text("a stream of the file", body.decode(coding, "replace"), Sort.HIDDEN)


def _stream(ole: "olefile.OleFileIO", path: str, body: bytes) -> Finding:
    folder, _, leaf = path.rpartition("/")
    if not leaf.startswith(_PROPERTY):
        yield from _identifier(body) if leaf == _FIXED else _other(body)
        return
    code = leaf.removeprefix(_PROPERTY)[:8].upper()
    which, kind = code[:4], code[4:]
    sort = Sort.SHOWN if which in _SHOWN else Sort.HIDDEN
    if kind == _UNICODE:
        yield Text(_place(which), body.decode("utf-16-le", "replace"), sort)
    elif kind == _EIGHT_BIT:
        yield Text(_place(which), body.decode("cp1252", "replace"), sort)
    elif which == _ATTACHED:
        yield Part(_name(ole, folder), body)
    elif which == _RICH_TEXT and kind == _BINARY:
        yield Part("body.rtf", unpacked_rich_text(body))
    elif which == "1013":
        yield Part("body.html", body)
    elif len(body) <= _MOST_IDENTIFIER:
        yield from _identifier(body)
    else:
        yield Part("a property of the mail", body)


def _place(which: str) -> str:
    return {"0037": "subject of the mail", "1000": "body of the mail"}.get(
        which, "a property of the mail"
    )


def _name(ole: "olefile.OleFileIO", folder: str) -> str:
    for which in _NAMES:
        for kind, coding in ((_UNICODE, "utf-16-le"), (_EIGHT_BIT, "cp1252")):
            path = f"{folder}/{_PROPERTY}{which}{kind}"
            if ole.exists(path):
                body: bytes = ole.openstream(path).read()
                return body.decode(coding, "replace").rstrip("\0")
    return "an attachment"


_DICTIONARY = (
    rb"{\rtf1\ansi\mac\deff0\deftab720{\fonttbl;}{\f0\fnil \froman \fswiss \fmodern \fscript "
    rb"\fdecor MS Sans SerifSymbolArialTimes New RomanCourier{\colortbl\red0\green0\blue0"
    b"\r\n"
    rb"\par \pard\plain\f0\fs20\b\i\u\tab\tx"
)
"""What the window holds before the first byte (MS-OXRTFCP 2.1.2.1)."""


def unpacked_rich_text(data: bytes) -> bytes:
    """The rich text of a mail without its compression (MS-OXRTFCP 2.2). Raises Damaged."""
    if len(data) < 16:
        raise Damaged("a body that cannot be unpacked")
    _, raw_size, how, _ = struct.unpack("<IIII", data[:16])
    if how == 0x414C454D:
        return data[16 : 16 + raw_size]
    if how != 0x75465A4C:
        raise Damaged("a body that cannot be unpacked")
    window = bytearray(_DICTIONARY.ljust(4096, b"\0"))
    write, out, at = len(_DICTIONARY), bytearray(), 16
    while at < len(data) and len(out) < raw_size:
        flags, at = data[at], at + 1
        for bit in range(8):
            if at >= len(data):
                break
            if not flags >> bit & 1:
                window[write] = data[at]
                out.append(data[at])
                write, at = (write + 1) % 4096, at + 1
                continue
            if at + 2 > len(data):
                break
            where, size = data[at] << 4 | data[at + 1] >> 4, (data[at + 1] & 15) + 2
            at += 2
            if where == write:
                return bytes(out)
            for step in range(size):
                byte = window[(where + step) % 4096]
                window[write] = byte
                out.append(byte)
                write = (write + 1) % 4096
    return bytes(out)
