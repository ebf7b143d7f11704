"""A stream kept whole holds just what the long way would have kept of it."""

import re
from itertools import pairwise

import pikepdf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pikepdf import Dictionary

from packets.masking.content_streams import _Cleaning, cleaned
from packets.masking.judged_streams import JudgedStreams
from packets.masking.plain_content import (
    goes_on_plainly,
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

numbers = st.sampled_from(["0", "-1", "12.5", ".25", "-.5", "3.", "+7", "1000"])
strings = st.sampled_from(["(text)", "()", r"(a\(b\)c)", "(\\\\)", "<00fF>", "<>", "(/F9 Tf q)"])
OPERANDS = {
    2: ["Td", "TD", "l", "m"], 1: ["G", "g", "i", "J", "j", "M", "Tc", "TL", "Tr", "Ts", "w"],
    4: ["re", "k", "K", "v", "y"], 6: ["cm", "Tm", "c"], 3: ["RG", "rg", "sc", "SCN"],
    0: ["BT", "ET", "T*", "q", "Q", "S", "s", "f", "f*", "B", "b*", "h", "n", "W", "W*"],
}  # fmt: skip
NAMED = ["/F1 12 Tf", "/X0 Do", "/G0 gs", "/S0 sh", "/DeviceRGB cs", "/Cs8 CS", "/Perceptual ri"]


@st.composite
def operation(draw: st.DrawFn) -> str:
    kind = draw(st.sampled_from(["numbers", "named", "shown", "array", "dashes", "spaced"]))
    if kind == "numbers":
        count = draw(st.sampled_from(sorted(OPERANDS)))
        name = draw(st.sampled_from(OPERANDS[count]))
        return " ".join([*(draw(numbers) for _ in range(count)), name])
    if kind == "named":
        return draw(st.sampled_from(NAMED))
    if kind == "shown":
        return draw(strings) + draw(st.sampled_from([" Tj", "Tj", " '"]))
    if kind == "array":
        items = draw(st.lists(st.one_of(numbers, strings), max_size=5))
        return "[" + " ".join(items) + "] TJ"
    if kind == "dashes":
        return "[" + " ".join(draw(st.lists(numbers, max_size=3))) + "] 0 d"
    return f'{draw(numbers)} {draw(numbers)} {draw(strings)} "'


marks = st.sampled_from(
    ["/P <</MCID 0>> BDC", "/Span <</ActualText (987-65-4320)>>BDC", "EMC", "/Artifact BMC",
     "/OC /MC0 BDC", "/Tag MP", "/T <</A [1 2] /B <FEFF>>> DP"]
)  # fmt: skip
streams = st.lists(st.one_of(operation(), operation(), marks), max_size=12).map(
    lambda parts: "\n".join(["/F1 9 Tf", *parts]).encode()
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


NUMBER = rb"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)"
ROOM, MAYBE_ROOM = rb"[ \n\r\t]{1,4}", rb"[ \n\r\t]{0,4}"
WORD = rb"/[A-Za-z0-9_.+\-]+"
SHOWN = rb"(?:\((?:[^()\\]|\\.)*\)|<[0-9A-Fa-f]*>)"


def listed(items: bytes) -> bytes:
    return rb"\[(?:[ \n\r\t]|" + items + rb")*\]" + MAYBE_ROOM


def counted(count: int) -> bytes:
    return rb"(?:" + NUMBER + ROOM + rb"){%d}" % count


ONE_BY_ONE = [
    re.compile(operands + operator + rb"(?=[ \n\r\t\[(</]|\Z)", re.DOTALL)
    for operands, operator in (
        (counted(2), rb"(?:T[dD]|[lm])"),
        (counted(1), rb"(?:[GgiJjMw]|T[cLrswz])"),
        (SHOWN + MAYBE_ROOM, rb"(?:Tj|')"),
        (listed(NUMBER + rb"|" + SHOWN), rb"TJ"),
        (counted(4), rb"(?:re|[kKvy])"),
        (counted(6), rb"(?:cm|Tm|c)"),
        (counted(3), rb"(?:RG|rg)"),
        (WORD + ROOM + NUMBER + ROOM, rb"Tf"),
        (rb"", rb"(?:BT|ET|T\*|[qQSshn]|f\*?|F|b\*?|B\*?|W\*?)"),
        (WORD + ROOM, rb"(?:Do|gs|sh|cs|CS)"),
        (rb"/(?:AbsoluteColorimetric|RelativeColorimetric|Saturation|Perceptual)" + ROOM, rb"ri"),
        (rb"(?:" + NUMBER + ROOM + rb"){1,4}", rb"(?:scn?|SCN?)"),
        (listed(NUMBER) + NUMBER + ROOM, rb"d"),
        (counted(2) + SHOWN + MAYBE_ROOM, rb'"'),
    )
]
"""Annex A of ISO 32000-2, an expression for each kind of operation."""
LEADING = re.compile(MAYBE_ROOM)


def plain_by_the_table(data: bytes) -> bool:
    at, done = 0, False
    while not done:
        begin = LEADING.match(data, at)
        assert begin is not None
        found = next((m for each in ONE_BY_ONE if (m := each.match(data, begin.end()))), None)
        at, done = (found.end(), False) if found else (begin.end(), True)
    return at == len(data)


words = st.sampled_from(
    [each.encode() for kinds in OPERANDS.values() for each in kinds]
    + [each.encode() for named in NAMED for each in named.split()]
    + [b"(a)", b"()", b"<0f>", b"[", b"]", b"[(a) 1]", b"[1 2]", b"0", b"1", b"-.5", b"3."]
    + [b"TJ", b"Tj", b"'", b'"', b"d", b"Tf", b"Do", b"sc", b"scn", b"SCN", b"EMC", b"BI"]
    + [b"/EMC", b"5.5.5"]
)  # fmt: skip
gaps = st.sampled_from([b" ", b"\n", b"", b"    ", b"     ", b" \r\n"])
soup = st.lists(st.tuples(words, gaps), max_size=14).map(lambda it: b"".join(map(b"".join, it)))
nearly = st.tuples(streams, soup, streams).map(lambda it: b"\n".join(map(without_marks, it)))


@given(data=st.one_of(soup, nearly))
@settings(max_examples=600, deadline=None)
def test_one_expression_tells_what_one_for_each_operation_tells(data):
    assert is_plain(data) == plain_by_the_table(data)


@given(data=st.one_of(soup, streams, nearly))
@settings(max_examples=300, deadline=None)
def test_a_plain_stream_holds_no_marks(data):
    if is_plain(data):
        assert without_marks(data) == data
    bare = JudgedStreams().bare(data)
    marked = without_marks(data)
    assert bare == (marked if is_plain(marked) else None)


@given(
    head=st.one_of(soup, nearly), data=streams.map(lambda it: without_marks(b"\n".join([it] * 12)))
)
@settings(max_examples=300, deadline=None)
def test_a_stream_with_the_end_of_a_plain_one_is_told_by_where_they_meet(head, data):
    for end in (0, *parts(data), len(data)):
        whole = head + data[end:]
        assert goes_on_plainly(head, data[end:]) == is_plain(whole)
        judged = JudgedStreams()
        assert judged.joined(head, data[end:]) == whole
        assert judged.bare(whole) == JudgedStreams().bare(whole)


def test_a_stream_that_was_changed_is_judged_anew():
    judged = JudgedStreams()
    assert judged.bare(b"0 0 m") == b"0 0 m"
    assert judged.bare(b"0 0 m % 987-65-4320") is None
    assert judged.bare(b"0 0 m") == b"0 0 m"


@given(data=st.one_of(soup, streams, nearly))
@settings(max_examples=300, deadline=None)
def test_a_font_is_in_force_as_following_every_operator_tells(data):
    if not is_plain(data):
        return
    pdf = pikepdf.new()
    fonts, shown_without = [False], False
    for instruction in pikepdf.parse_content_stream(pdf.make_stream(data)):
        operator = str(instruction.operator)
        if operator == "q":
            fonts.append(fonts[-1])
        elif operator == "Q" and len(fonts) > 1:
            fonts.pop()
        elif operator in ("Tf", "gs"):
            fonts[-1] = True
        elif operator in ("Tj", "TJ", "'", '"'):
            shown_without |= not fonts[-1]
    assert sets_font_first(data) == (not shown_without)
