"""Where the check looks first at what is cheap, the quick look finds all that the slow one does.

Each rule is written down here a second time, as slowly as it reads.
"""

import contextlib
import ctypes
import re

import pypdfium2
import pypdfium2.raw as pdfium_c
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from outbound_pages import with_content

from packets.base.errors import Damaged
from packets.base.secret import Secret
from packets.identifiers.kinds import Kind, KnownNumber, MaskPolicy
from packets.outbound.crude_scan import CrudeScan
from packets.outbound.glyph_order import is_scattered
from packets.outbound.ink_shapes import bounds_of
from packets.outbound.lines_worth_reading import worth_reading
from packets.outbound.objects import carving
from packets.outbound.objects.content import shown_in
from packets.outbound.objects.lexer import read_value
from packets.outbound.page_ink import ink_of

SIGNS = ["0", "1", "12", "00-0", "-", " ", "  ", ",", ".", "/", "$", "\n", "a", "Il", "é", "—", "٣"]
TEXTS = st.lists(st.sampled_from(SIGNS), max_size=60).map("".join)
ROWS = st.lists(
    st.sampled_from(["1,234.56", "000-12-", "3456", "12-", "1 2 3 4 5", "OOO-I2-3456", "W-2"]),
    max_size=20,
).map("\n".join)


def lines_by_line(text: str) -> str:
    """The same as `worth_reading`, each line by itself."""
    if not re.fullmatch("[\x00-\x7f\xa0-\xb1\xb4-\xb8\xba-\xff\u2010-\u2027\u2032-\u205e]*", text):
        return text
    amount = r"(?<![\d.,/-])\d{1,3}(?:,\d{3}){0,4}\.\d\d(?![\d.,/-])"
    rules = (
        r"\d(?:[^0-9A-Za-z]{0,8}\d){4}",
        r"\d *- *$",
        r"\w{3} ?- ?\w{2} ?- ?\w{4}",
    )
    kept: set[int] = set()
    for at, line in enumerate(re.sub(amount, " ", text).split("\n")):
        if any(re.search(rule, line) for rule in rules):
            kept.update(range(max(0, at - 4), at + 2))
    return "\n".join(line for at, line in enumerate(text.split("\n")) if at in kept)


@settings(max_examples=400)
@given(TEXTS | ROWS)
def test_the_lines_worth_reading_are_those_that_each_line_by_itself_would_be(text: str) -> None:
    assert worth_reading(text) == lines_by_line(text)


@settings(max_examples=400)
@given(TEXTS)
def test_lone_digits_are_those_that_no_digit_stands_before(text: str) -> None:
    slow = re.search(r"(?<!\d)(?:\d(?!\d)[^0-9A-Za-z]{0,6}){5}", text)
    assert is_scattered(text) == (slow is not None)


PIECES = [b"(", b")", b"\\", b"\r", b"<",
          b">", b"[", b"]", b"%", b" BI ", b"BI", b" EI ", b"\n",
          b"a", b"12", b"\xfe\xff", b"\0", b" Tj", b" ", b"/", b"<<", b"6F", b"(x)"]  # fmt: skip


def shown_slowly(data: bytes) -> tuple[bytes, ...]:
    """The codes that a stream shows, part after part by patterns that stand side by side."""
    parts = re.compile(
        rb"\((?P<plain>[^()\\\r]*+)\)|(?P<literal>\()|<(?P<hex>[0-9A-Fa-f\x00\t\n\x0c\r ]*+)>"
        rb"|(?P<close>\])|(?P<comment>%[^\r\n]*+)|(?P<picture>\bBI(?=[\x00\t\n\x0c\r /]))"
        rb"|(?P<array>\[)"
    )
    lines, at, in_array, picture_ends = [b""], 0, False, True
    while (part := parts.search(data, at)) is not None:
        at, kind = part.end(), part.lastgroup
        if kind in ("array", "close"):
            in_array = kind == "array"
            lines.append(b"")
        elif kind == "picture":
            end = re.compile(rb"[\x00\t\n\x0c\r ]EI(?=[\x00\t\n\x0c\r ]|$)").search(data, at)
            picture_ends = picture_ends and end is not None
            at = end.end() if end is not None and picture_ends else at
        elif kind != "comment":
            value: object = b""
            with contextlib.suppress(Damaged):
                value, at = read_value(data, part.start())
            lines[-1] += value if isinstance(value, bytes) else b""
            lines += [b""] if not in_array else []
    return tuple(line for line in lines if line)


@settings(max_examples=600)
@given(st.lists(st.sampled_from(PIECES), max_size=30).map(b"".join))
def test_a_stream_shows_what_part_after_part_of_it_shows(data: bytes) -> None:
    shown = shown_in(data + b"(end) Tj")
    assert shown is not None
    assert shown.codes == shown_slowly(data + b"(end) Tj")
    readable = [
        code.decode("utf-16", "replace") if code[:2] == b"\xfe\xff"
        else code.replace(b"\0", b"").decode("latin-1")
        for code in shown.codes
    ]  # fmt: skip
    assert (shown.lines, shown.joined) == ("\n".join(readable), "".join(readable))


@given(st.lists(st.sampled_from([b"1", b"23", b" ", b"%x\n", b"obj", b"0", b"a"]), max_size=25))
def test_objects_begin_where_no_digit_stands_before_their_number(pieces: list[bytes]) -> None:
    between = rb"(?:[\x00\t\n\x0c\r ]|%[^\r\n]{0,80}[\r\n]){1,40}+"
    slow = re.compile(
        rb"(?<!\d)(\d{1,10})" + between + rb"(\d{1,5})" + between
        + rb"obj(?![^\x00\t\n\x0c\r ()<>\[\]{}/%])"
    )  # fmt: skip
    data = b"".join(pieces)
    found = [match.groups() + match.span() for match in carving._HEADER.finditer(data)]
    assert found == [match.groups() + match.span() for match in slow.finditer(data)]


NEARLY = CrudeScan((KnownNumber(Kind.SSN, Secret("000123456")),), MaskPolicy())


@given(st.lists(st.sampled_from(["0001", "23456", "2345", "9", "-", "\n", " ", "x"]), max_size=12))
def test_a_number_misread_is_seen_on_whatever_line_it_stands(pieces: list[str]) -> None:
    whole = "".join(pieces)
    by_line = [NEARLY.known_nearly_in(line) for line in whole.split("\n")]
    assert NEARLY.known_nearly_in(whole) == set().union(*by_line)


@pytest.mark.parametrize("dash", list("\u2010\u2011\u2013\u2015\u2212\uff0d\ufe58\ufe63"))
def test_every_dash_of_utf_8_makes_a_shape(dash: str) -> None:
    written = b"\xff " + f"000{dash}12{dash}3456 ".encode()
    assert CrudeScan((), MaskPolicy()).in_bytes(written) != set()


def test_boxes_and_texts_are_those_that_the_library_tells_by_its_own_declarations() -> None:
    pdf = with_content(b"100 200 30 2 re f q 2 0 0 2 7 9 cm 10 20 m 50 60 l 70 0 l h f Q")
    with pypdfium2.PdfDocument(pdf) as document:
        page = document[0]
        objects = list(page.get_objects())
        assert [bounds_of(item.raw) for item in objects] == [item.get_bounds() for item in objects]
        ink = ink_of(page)
        texts = [item for item in objects if item.type == pdfium_c.FPDF_PAGEOBJ_TEXT]
        assert ink.texts == [ctypes.addressof(item.raw.contents) for item in texts]
        assert len(texts) == 1
        assert ink.bars == [(100.0, 200.0, 130.0, 202.0)]
