"""In programs and profiles only texts are looked through; binary rows like digits stay."""

import struct

import pytest

from packets.masking.program_texts import without_long_numbers

ROW = b"".join(struct.pack(">H", 0x30 + k) for k in range(10)) + b"0123456789"
"""Glyph numbers 48 to 57, and ten bytes that read as digits."""


def true_type(tables: dict[bytes, bytes]) -> bytes:
    start = 12 + 16 * len(tables)
    head, body = b"\0\1\0\0" + struct.pack(">HHHH", len(tables), 0, 0, 0), b""
    for tag, data in tables.items():
        head += struct.pack(">4sIII", tag, 0, start + len(body), len(data))
        body += data
    return head + body


def index(*objects: bytes) -> bytes:
    offsets = [1]
    for item in objects:
        offsets.append(offsets[-1] + len(item))
    return struct.pack(">HB", len(objects), 1) + bytes(offsets) + b"".join(objects)


def test_a_row_of_glyph_numbers_stays_and_a_name_goes():
    font = true_type({b"glyf": ROW, b"name": b"copyright 987654320", b"loca": ROW})
    clean = without_long_numbers(font)
    assert len(clean) == len(font)
    assert clean.count(ROW) == 2
    assert b"copyright xxxxxxxxx" in clean


def test_a_name_in_two_byte_letters_goes():
    clean = without_long_numbers(true_type({b"name": "987-65-4320".encode("utf-16-be") * 2}))
    assert b"\x009" not in clean


def test_in_a_compact_font_names_go_and_glyph_programs_stay():
    font = b"\1\0\4\1" + index(b"F987654320") + index(b"\x1d" * 9) + index(b"by 987654320") + ROW
    clean = without_long_numbers(font)
    assert b"987654320" not in clean
    assert clean.endswith(ROW)


def test_in_a_type_one_font_the_plain_part_is_looked_through():
    clean = without_long_numbers(b"%!PS /Notice (987654320) def eexec" + ROW)
    assert b"987654320" not in clean
    assert clean.endswith(b"eexec" + ROW)


@pytest.mark.parametrize(
    "data", [b"", b"\0\1\0\0", b"\0\1\0\0\xff\xff", b"\1\0\4\1", b"%!", b"ttcf"]
)
def test_a_broken_program_stays_as_it_is(data):
    assert without_long_numbers(data) == data
