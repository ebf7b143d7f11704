"""The file itself: revisions, loose objects, comments, filters (ISO 32000-2, 7.2 to 7.5)."""

import base64
import re
import zlib
from collections.abc import Callable

import pikepdf
from pikepdf import Array, Dictionary, Name, Stream, String

from packets.proving.copies import Copy, Lock
from packets.proving.loose_objects import (
    Sealing,
    appended,
    commented,
    freed,
    loose_stream,
    loose_string,
    with_loose_object,
    with_revision,
)
from packets.proving.picture_codings import lzw_packed, run_lengths
from packets.proving.place import Place
from packets.proving.records import Told
from packets.proving.shown_text import literal

_FAMILY = "the file itself"

Plant = Callable[[Copy, str], None]


def _earlier_revision(copy: Copy, number: str) -> None:
    """The first revision shows the number; a second one lists the page's streams without it."""
    copy.write(literal(f"Number {number} on file") + b" Tj")
    streams = list(copy.page.obj.Contents)  # an array, after something was added
    copy.page.obj.Contents = copy.add(Array(streams))
    copy.object_streams = pikepdf.ObjectStreamMode.disable
    copy.late.append(_second_revision)


def _second_revision(data: bytes, lock: Lock) -> bytes:
    del lock  # lists and numbers are not encrypted
    lists = re.finditer(rb"(\d+) 0 obj\s*\[((?:\s*\d+ 0 R)+)\s*\]\s*endobj", data)
    named = [listed for listed in lists if b"/Contents %s 0 R" % listed[1] in data]
    if not named:
        raise ValueError("no list of the page's streams")
    listed = named[-1]
    kept = b" ".join(re.findall(rb"\d+ 0 R", listed[2])[:-1])
    body = b"%s 0 obj\n[ %s ]\nendobj\n" % (listed[1], kept)
    row = b"%s 1\n%010d 00000 n \n" % (listed[1], len(data) + 1)
    return with_revision(data + b"\n" + body, data, row)


def _bytes(change: Callable[[bytes, bytes], bytes]) -> Plant:
    """A change of the saved bytes."""

    def plant(copy: Copy, number: str) -> None:
        copy.late.append(lambda data, _: change(data, number.encode()))

    return plant


def _comment_behind(mark: bytes) -> Plant:
    def plant(copy: Copy, number: str) -> None:
        copy.object_streams = pikepdf.ObjectStreamMode.disable
        comment = b"% about " + number.encode() + b"\n"
        copy.late.append(lambda data, _: commented(data, data.find(mark) + len(mark), comment))

    return plant


def _as_identifier(data: bytes, number: bytes) -> bytes:
    return appended(data, b"trailer\n<< /ID [(" + number + b") (x)] >>\n")


def _in_the_identifier(copy: Copy, number: str) -> None:
    """The first half of the file's own /ID; a lock of revision 6 does not depend on it."""
    copy.late.append(_with_identifier(number.encode()))


def _with_identifier(number: bytes) -> Callable[[bytes, Lock], bytes]:
    def change(data: bytes, lock: Lock) -> bytes:
        found = re.search(rb"/ID \[\s*<([0-9a-f]{32})>", data)
        if found is None or 0 < lock.revision < 5:
            return _as_identifier(data, number)
        spelled = number.ljust(16, b".").hex().encode()
        return data[: found.start(1)] + spelled + data[found.end(1) :]

    return change


def _object_number(copy: Copy, number: str) -> None:
    copy.late.append(lambda data, _: appended(data, number.encode() + b" 0 obj\nnull\nendobj\n"))


def _deleted_object(copy: Copy, number: str) -> None:
    """An object that a last cross-reference lists as free, its bytes still there."""

    def change(data: bytes, lock: Lock) -> bytes:
        loose = with_loose_object(data, lock, lambda seal: loose_string(seal(number.encode())))
        return freed(loose, data)

    copy.late.append(change)


def _loose(body: Callable[[Sealing, bytes], bytes]) -> Plant:
    """An object behind the last revision; nothing refers to it."""

    def plant(copy: Copy, number: str) -> None:
        copy.late.append(
            lambda data, lock: with_loose_object(
                data, lock, lambda seal: body(seal, number.encode())
            )
        )

    return plant


def _packed(pack: Callable[[bytes], bytes], coding: bytes) -> Plant:
    """A stream that nothing refers to, in a coding."""
    return _loose(lambda seal, number: loose_stream(seal(pack(b"note: " + number)), coding))


def _in_octal(seal: Sealing, number: bytes) -> bytes:
    octal = b"".join(b"\\%03o" % byte for byte in seal(b"note " + number))
    return b"<< /Note (" + octal + b") >>"


def _in_an_object_stream(copy: Copy, number: str) -> None:
    copy.object_streams = pikepdf.ObjectStreamMode.generate
    note = copy.add(Dictionary({f"/Key{number}": 1}))
    copy.set_in_root("PieceInfo", copy.add(Dictionary(Note=note)))


def _in_no_object_stream(copy: Copy, number: str) -> None:
    copy.object_streams = pikepdf.ObjectStreamMode.disable
    copy.set_in_root("PieceInfo", Dictionary(Note=Dictionary(Private=String(f"of {number}"))))


def _predicted(copy: Copy, number: str) -> None:
    """PNG prediction from the row above, ten bytes a row (7.4.4.4)."""
    rows, above = b"", bytes(10)
    data = f"note: {number} on file".encode().ljust(40)
    for start in range(0, 40, 10):
        row = data[start : start + 10]
        rows += b"\x02" + bytes((a - b) & 0xFF for a, b in zip(row, above, strict=True))
        above = row
    parameters = Dictionary(Predictor=12, Columns=10)
    made = copy.stream(zlib.compress(rows), Filter=Name.FlateDecode, DecodeParms=parameters)
    copy.set_in_root("PieceInfo", Dictionary(Note=Dictionary(Private=made)))


def _behind_flate_data(copy: Copy, number: str) -> None:
    data = zlib.compress(b"nothing in here") + b" left over " + number.encode()
    made = copy.stream(data, Filter=Name.FlateDecode)
    copy.set_in_root("PieceInfo", Dictionary(Note=Dictionary(Private=made)))


def _stream_entry(copy: Copy, number: str) -> None:
    made = Stream(copy.pdf, b"nothing in here", Note=String(number))
    copy.set_in_root("PieceInfo", Dictionary(Note=Dictionary(Private=copy.add(made))))


def _row(name: str, plant: Plant, told: Told = Told.UNKNOWN) -> Place:
    return Place(_FAMILY, name, plant, told, bare=told is Told.KNOWN)


def _hexed(data: bytes) -> bytes:
    return data.hex().encode() + b">"


def _ascii85(data: bytes) -> bytes:
    return base64.a85encode(zlib.compress(data)) + b"~>"


_KNOWN = Told.KNOWN
PLACES = (
    _row("earlier revision", _earlier_revision),
    _row("object that nothing refers to", _loose(lambda seal, n: loose_string(seal(n)))),
    _row("deleted object", _deleted_object, _KNOWN),
    _row("packed stream that nothing refers to", _packed(zlib.compress, b"/FlateDecode")),
    _row("object stream", _in_an_object_stream),
    _row("object outside object streams", _in_no_object_stream, _KNOWN),
    _row("behind the end of the file", _bytes(lambda d, n: d + b"\nleft over " + n + b"\n")),
    _row("before the beginning of the file", _bytes(lambda d, n: b"sent for " + n + b"\n" + d)),
    _row("comment behind the header", _comment_behind(b"\n"), _KNOWN),
    _row("comment between objects", _comment_behind(b"endobj\n")),
    _row("identifier of the file", _in_the_identifier, _KNOWN),
    _row("trailer that nothing refers to", _bytes(_as_identifier)),
    _row("object number", _object_number, _KNOWN),
    _row("string in hexadecimal", _loose(lambda seal, n: b"<" + seal(n).hex().encode() + b">")),
    _row("string in octal", _loose(_in_octal), _KNOWN),
    _row(
        "name in hexadecimal", _loose(lambda _, n: b"/" + b"".join(b"#%02x" % byte for byte in n))
    ),
    _row("entry of a stream", _stream_entry),
    _row("behind the data of a stream", _behind_flate_data),
    _row("stream in ASCII hexadecimal", _packed(_hexed, b"/ASCIIHexDecode")),
    _row(
        "stream in ASCII base 85 over flate",
        _packed(_ascii85, b"[/ASCII85Decode /FlateDecode]"),
        _KNOWN,
    ),
    _row("stream in run lengths", _packed(run_lengths, b"/RunLengthDecode")),
    _row("stream in LZW", _packed(lzw_packed, b"/LZWDecode"), _KNOWN),
    _row("stream with a predictor", _predicted),
)
