"""Where the file itself can hold a number: revisions, gaps, comments, trailers, spellings."""

import functools
import io
import re
import zlib

import pikepdf
from hiding_places import family
from pikepdf import Dictionary, Name
from plain_page import DIGITS, TEXT, N, document_with
from planted_pages import NUMBER, as_bytes


def plain(**how: object) -> bytes:
    out = io.BytesIO()
    document_with().save(out, deterministic_id=True, **how)
    return out.getvalue()


def appended(extra: bytes) -> bytes:
    return plain() + extra


def earlier_revision() -> bytes:
    """The first revision shows the number; the second draws the page anew without it."""
    first = as_bytes(document_with(TEXT.replace(b"plain words", N)))
    number = int(re.search(rb"/Contents (\d+) 0 R", first)[1])
    previous = int(re.search(rb"startxref\s+(\d+)", first)[1])
    trailer = re.search(rb"/Root \d+ 0 R", first)[0] + re.search(rb" ?/Size \d+", first)[0]
    new = b"%d 0 obj\n<< /Length %d >>\nstream\n%s\nendstream\nendobj\n" % (number, len(TEXT), TEXT)
    table = b"xref\n%d 1\n%010d 00000 n \n" % (number, len(first))
    end = b"trailer\n<< %s /Prev %d >>\nstartxref\n%d\n%%%%EOF\n"
    return first + new + table + end % (trailer, previous, len(first) + len(new))


def two_files_in_one() -> bytes:
    first = as_bytes(document_with(TEXT.replace(b"plain words", N)))
    return first + plain() + b"\n% " + N + b"\n" + first[:200]


def header_before() -> bytes:
    """Readers take a header within the first 1024 bytes."""
    return b"From the desk of " + N + b"\n" + plain()


def between_objects() -> bytes:
    data = plain()
    return data.replace(b"endobj\n", b"endobj\n% " + N + b"\n", 1)


def in_the_binary_comment() -> bytes:
    return plain().replace(b"%\xbf\xf7\xa2\xfe\n", b"%\xbf\xf7\xa2\xfe " + N + b"\n", 1)


def unreferenced(body: bytes) -> bytes:
    return appended(b"900 0 obj\n" + body + b"\nendobj\n")


def unreferenced_stream() -> bytes:
    body = zlib.compress(N)
    head = b"<< /Filter /FlateDecode /Length %d >>\nstream\n" % len(body)
    return unreferenced(head + body + b"\nendstream")


def object_stream() -> bytes:
    document = document_with()
    document.Root["/Pocket"] = document.make_indirect(Dictionary({f"/N{DIGITS}": NUMBER}))
    out = io.BytesIO()
    document.save(out, deterministic_id=True, object_stream_mode=pikepdf.ObjectStreamMode.generate)
    return out.getvalue()


def pocket() -> bytes:
    document = document_with()
    document.Root["/Pocket"] = document.make_indirect(Dictionary(A=NUMBER))
    return as_bytes(document)


def identifier() -> bytes:
    return re.sub(rb"/ID ?\[<\w+><\w+>\]", b"/ID [(%s)(%s)]" % (N, N), plain())


def trailer_key() -> bytes:
    return plain().replace(b"trailer <<", b"trailer << /Note (%s)" % N)


def behind_the_length() -> bytes:
    """Bytes of a stream that its /Length leaves out, up to endstream."""
    return plain().replace(b"endstream", b"% " + N + b" endstream", 1)


def filter_of_a_crypt_name() -> bytes:
    document = document_with()
    stream = document.pages[0].obj.Contents
    stream["/Note"] = Name(f"/N{DIGITS}")
    return as_bytes(document)


def encrypted() -> bytes:
    document = document_with()
    document.Root["/Pocket"] = Dictionary({f"/N{DIGITS}": 1})
    out = io.BytesIO()
    document.save(out, encryption=pikepdf.Encryption(user="", owner="o", R=6))
    return out.getvalue()


PLACES = {
    **family(
        "file",
        {
            "an earlier revision": earlier_revision,
            "two files in one": two_files_in_one,
            "bytes before the header": header_before,
            "a comment between objects": between_objects,
            "the comment under the header": in_the_binary_comment,
            "bytes behind the end": functools.partial(appended, b"\nleft over " + N),
            "an object that nothing leads to": functools.partial(unreferenced, b"(" + N + b")"),
            "an object's number": functools.partial(
                appended, b"%s 0 obj\n(x)\nendobj\n" % DIGITS.encode()
            ),
            "a stream that nothing leads to": unreferenced_stream,
            "an object stream": object_stream,
            "a key of the root": pocket,
            "its identifier": identifier,
            "a key of the trailer": trailer_key,
            "bytes behind the length of a stream": behind_the_length,
            "a key of a content stream": filter_of_a_crypt_name,
            "a name in an encrypted file": encrypted,
        },
        told_by="objects",
    ),
}
