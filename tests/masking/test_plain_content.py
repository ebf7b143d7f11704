"""A stream kept whole holds just what the long way would have kept of it."""

import os
import subprocess
import sys
from itertools import pairwise

import pikepdf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pikepdf import Dictionary
from plain_streams import streams

from packets.masking.content_streams import _Cleaning, cleaned
from packets.masking.plain_content import (
    is_plain,
    namings,
    parts,
    sets_font_first,
    without_marks,
)
from packets.masking.resource_names import Renaming

RESOURCES = Dictionary(
    XObject=Dictionary(X0=Dictionary()),
    ExtGState=Dictionary(G0=Dictionary()),
    Shading=Dictionary(S0=Dictionary()),
)


def long_way(data: bytes, *, font: bool) -> list[object]:
    pdf = pikepdf.new()
    cleaning = _Cleaning(RESOURCES, Renaming(), font=font)
    for instruction in pikepdf.parse_content_stream(pdf.make_stream(data)):
        cleaning.take(instruction)
    return [cleaning.out, cleaning.names]


def as_text(instructions: list[object]) -> bytes:
    return pikepdf.unparse_content_stream(instructions)  # type: ignore[arg-type]


@given(data=streams)
@settings(max_examples=300, deadline=None)
def test_what_is_kept_whole_is_what_the_long_way_keeps(data):
    bare = without_marks(data)
    assert is_plain(bare)
    pdf = pikepdf.new()
    clean = cleaned(pdf.make_stream(data), RESOURCES, Renaming(), font_in_force=False)
    instructions, names = long_way(data, font=False)
    assert as_text(pikepdf.parse_content_stream(pdf.make_stream(clean.data))) == as_text(
        instructions
    )
    assert clean.names == frozenset(names)


@given(data=streams, times=st.integers(1, 40))
@settings(max_examples=100, deadline=None)
def test_a_plain_stream_is_parted_where_instructions_end(data, times):
    bare = without_marks(b"\n".join([data] * times))
    pdf = pikepdf.new()
    whole = pikepdf.parse_content_stream(pdf.make_stream(bare))
    ends = [0, *parts(bare), len(bare)]
    parted = [
        list(pikepdf.parse_content_stream(pdf.make_stream(bare[low:high])))
        for low, high in pairwise(ends)
    ]
    assert [len(part) for part in parted[:-1]] == [64] * (len(whole) // 64)
    assert as_text([each for part in parted for each in part]) == as_text(whole)


NOT_PLAIN = {
    "a comment": b"% 987-65-4320\n0 0 m",
    "a comment behind an operator": b"0 0 m % 987-65-4320\n",
    "a surplus operand": b"987654320 0 0 m",
    "a surplus string": b"(987-65-4320) 0 0 m",
    "a lone operand": b"0 0 m (987-65-4320)",
    "an unknown operator": b"(987-65-4320) Xx",
    "a string in a dash pattern": b"[(987-65-4320)] 0 d",
    "a name among shown items": b"[/987654320 (a)] TJ",
    "an array inside an array": b"[[(987-65-4320)]] TJ",
    "a dictionary": b"<</A (987-65-4320)>> 0 0 m",
    "an intent of its own": b"/987654320 ri",
    "a name with escapes": b"/9#38#37654320 gs",
    "an inline picture": b"BI /W 1 /H 1 /CS /G /BPC 8 ID x EI",
    "a long run of blanks": b"0" + b" " * 40 + b"0 m",
    "a marked property nested": b"/P <</A <</B (987-65-4320)>>>> BDC EMC",
    "a null byte": b"0\x000 m",
    "words run together": b"q0 0 mQ",
}


@pytest.mark.parametrize("data", NOT_PLAIN.values(), ids=NOT_PLAIN.keys())
def test_a_stream_with_anything_else_is_not_plain(data):
    assert not is_plain(without_marks(data))


def test_text_before_any_font_is_not_kept_whole():
    assert not sets_font_first(b"BT (987-65-4320) Tj /F1 9 Tf ET")
    assert not sets_font_first(b"q /F1 9 Tf Q (987-65-4320) Tj")
    assert sets_font_first(b"/F1 9 Tf q (a) Tj Q (b) Tj (/F1 9 Tf) Tj")
    assert not sets_font_first(b"((/F1 9 Tf) Tj"[1:])


def test_a_drawing_that_resources_do_not_define_is_left_out():
    pdf = pikepdf.new()
    clean = cleaned(pdf.make_stream(b"/X987654320 Do /Xn Do q Q"), RESOURCES, Renaming())
    assert b"Xn" not in clean.data
    assert b"987" not in clean.data


def test_names_inside_strings_are_no_names():
    assert {use.name for use in namings(b"(/F8 1 Tf) Tj /F1 1 Tf <2f> Tj /X0 Do")} == {"/F1", "/X0"}


def test_marks_that_run_into_text_leave_it_whole():
    assert without_marks(b"/P <</MCID 0>>BDC (EMC) Tj EMC q") == b"(EMC) Tj q"


def test_a_million_brackets_are_told_in_no_time():
    assert not is_plain(b"(" * 1_000_000)
    assert not is_plain(b"[" * 1_000_000)
    assert without_marks(b"/P <<" * 200_000 + b"EMC").endswith(b"<<EMC")


def test_the_name_of_a_standard_colour_space_needs_no_resource():
    pdf = pikepdf.new()
    clean = cleaned(pdf.make_stream(b"/DeviceGray cs 0 sc"), RESOURCES, Renaming())
    assert clean.names == frozenset()


def renamed() -> bytes:
    """A stream whose names hold digits, cleaned."""
    pdf = pikepdf.new()
    names = [f"/X{digits}" for digits in (987654320, 987654321, 987654322, 987654323)]
    entries = Dictionary({name: Dictionary() for name in names})
    data = " ".join(f"{name} Do" for name in names).encode()
    return cleaned(pdf.make_stream(data), Dictionary(XObject=entries), Renaming()).data


@pytest.mark.parametrize("seed", ["1", "2", "3"])
def test_new_names_are_the_same_in_every_process(seed):
    code = "import sys, test_plain_content as t; sys.stdout.buffer.write(t.renamed())"
    places = os.pathsep.join(sys.path)
    other = subprocess.run(
        [sys.executable, "-c", code],
        env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": places},
        capture_output=True,
        check=True,
    )
    assert other.stdout == renamed()
