"""Hiding places in the file itself: filters, encodings, revisions, comments."""

import base64
import re
import zlib
from collections.abc import Callable

import pikepdf
from outbound_pages import appended, helvetica, opened, page_pdf, saved
from pikepdf import Array, Dictionary, Name, Stream, String

PLACES: dict[str, Callable[[str], bytes]] = {}


def place(maker: Callable[[str], bytes]) -> Callable[[str], bytes]:
    PLACES[maker.__name__] = maker
    return maker


@place
def older_revision(text: str) -> bytes:
    """The first revision shows the text; a second one draws the page anew without it."""
    first = page_pdf(f"Number {text} on file")
    number = int(re.search(rb"/Contents (\d+) 0 R", first)[1])
    root = re.search(rb"/Root \d+ 0 R", first)[0]
    size = re.search(rb"/Size \d+", first)[0]
    previous = int(re.search(rb"startxref\s+(\d+)", first)[1])
    start = len(first) + 1
    body = b"%d 0 obj\n<< /Length 5 >>\nstream\nBT ET\nendstream\nendobj\n" % number
    table = b"xref\n%d 1\n%010d 00000 n \n" % (number, start)
    trailer = b"trailer\n<< %s %s /Prev %d >>\n" % (size, root, previous)
    return (
        first + b"\n" + body + table + trailer + b"startxref\n%d\n%%%%EOF\n" % (start + len(body))
    )


@place
def unreferenced_object(text: str) -> bytes:
    return appended(page_pdf(), b"900 0 obj\n(about " + text.encode() + b" here)\nendobj\n")


@place
def unreferenced_compressed_stream(text: str) -> bytes:
    body = zlib.compress(b"note: " + text.encode() + b" end")
    head = b"900 0 obj\n<< /Filter /FlateDecode /Length %d >>\nstream\n" % len(body)
    return appended(page_pdf(), head + body + b"\nendstream\nendobj\n")


@place
def comment(text: str) -> bytes:
    data = page_pdf()
    return data.replace(b"%PDF-1.3\n", b"%PDF-1.3\n% about " + text.encode() + b"\n", 1)


@place
def after_the_end(text: str) -> bytes:
    return page_pdf() + b"\nleft over " + text.encode() + b"\n"


@place
def unicode_map_comment(text: str) -> bytes:
    pdf = opened()
    font = helvetica(pdf)
    cmap = b"%" + text.encode() + b"\n/CIDInit /ProcSet findresource begin end"
    font.ToUnicode = pdf.make_indirect(Stream(pdf, cmap))
    pdf.pages[0].Resources.Font["/F9"] = font
    return saved(pdf)


def with_stream(raw: bytes, **entries: object) -> bytes:
    pdf = opened()
    stream = Stream(pdf, b"")
    filters = entries.pop("Filter")
    stream.write(raw, filter=filters)
    for key, value in entries.items():
        stream[f"/{key}"] = value
    pdf.Root["/Extra"] = pdf.make_indirect(stream)
    return saved(pdf, stream_decode_level=pikepdf.StreamDecodeLevel.none)


@place
def ascii_85_over_flate(text: str) -> bytes:
    raw = base64.a85encode(zlib.compress(b"note: " + text.encode())) + b"~>"
    return with_stream(raw, Filter=Array([Name.ASCII85Decode, Name.FlateDecode]))


@place
def ascii_hex(text: str) -> bytes:
    raw = (b"note: " + text.encode()).hex().encode() + b">"
    return with_stream(raw, Filter=Array([Name.ASCIIHexDecode]))


@place
def run_length(text: str) -> bytes:
    body = b"note: " + text.encode()
    raw = bytes([len(body) - 1]) + body + b"\x80"
    return with_stream(raw, Filter=Array([Name.RunLengthDecode]))


@place
def lzw(text: str) -> bytes:
    return with_stream(lzw_packed(b"note: " + text.encode()), Filter=Array([Name.LZWDecode]))


def lzw_packed(body: bytes) -> bytes:
    """LZW with nine-bit codes only: each byte as itself, between clear and end."""
    codes = [256, *body, 257]
    bits = "".join(f"{code:09b}" for code in codes)
    bits += "0" * (-len(bits) % 8)
    return bytes(int(bits[i : i + 8], 2) for i in range(0, len(bits), 8))


@place
def flate_with_predictor(text: str) -> bytes:
    body = (b"note: " + text.encode()).ljust(40)
    rows = b""
    above = bytes(10)
    for start in range(0, 40, 10):
        row = body[start : start + 10]
        rows += b"\x02" + bytes((a - b) & 0xFF for a, b in zip(row, above, strict=True))
        above = row
    parameters = Array([Dictionary(Predictor=12, Columns=10)])
    return with_stream(
        zlib.compress(rows), Filter=Array([Name.FlateDecode]), DecodeParms=parameters
    )


@place
def utf_16_string(text: str) -> bytes:
    pdf = opened()
    raw = b"\xfe\xff" + f"note {text}".encode("utf-16-be")
    pdf.Root["/Extra"] = Dictionary(Note=String(raw))
    return saved(pdf)


@place
def hexadecimal_string(text: str) -> bytes:
    hexed = f"note {text}".encode().hex().encode()
    return appended(page_pdf(), b"900 0 obj\n<< /Note <" + hexed + b"> >>\nendobj\n")


@place
def escaped_string(text: str) -> bytes:
    octal = b"".join(b"\\%03o" % byte for byte in text.encode())
    return appended(page_pdf(), b"900 0 obj\n<< /Note (" + octal + b") >>\nendobj\n")


@place
def name_with_hash_signs(text: str) -> bytes:
    hashed = b"".join(b"#%02x" % byte for byte in text.encode())
    return appended(page_pdf(), b"900 0 obj\n<< /Note /" + hashed + b" >>\nendobj\n")


@place
def object_stream_of_an_encrypted_file(text: str) -> bytes:
    pdf = opened()
    pdf.Root["/Extra"] = Dictionary({f"/Key{text}": 1})
    return saved(
        pdf,
        encryption=pikepdf.Encryption(user="", owner="o", R=6),
        object_stream_mode=pikepdf.ObjectStreamMode.generate,
    )


@place
def string_of_an_encrypted_file(text: str) -> bytes:
    pdf = opened()
    pdf.Root["/Extra"] = Dictionary(Note=String(f"note {text}"))
    return saved(pdf, encryption=pikepdf.Encryption(user="", owner="o", R=6))


@place
def object_number(text: str) -> bytes:
    number = text.replace("-", "").replace("X", "0").encode()
    return appended(page_pdf(), b"%s 0 obj\n(%s)\nendobj\n" % (number, text.encode()))
