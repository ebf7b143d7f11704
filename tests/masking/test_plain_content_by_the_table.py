"""What the quick expressions tell of a stream is what slow and simple ones tell."""

import re

import pikepdf
from hypothesis import given, settings
from hypothesis import strategies as st
from plain_streams import marked, nearly, soup, streams

from packets.masking.judged_streams import JudgedStreams
from packets.masking.plain_content import (
    goes_on_plainly,
    is_plain,
    parts,
    sets_font_first,
    without_marks,
)

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


MARKS = re.compile(
    rb"(" + SHOWN + rb")|(?<![^ \n\r\t\])>])(?:"
    + WORD + rb"[ \n\r\t]*(?:<<(?:[^<>()]|" + SHOWN + rb")*>>|" + WORD + rb")"
    + rb"[ \n\r\t]*(?:BDC|DP)|" + WORD + rb"[ \n\r\t]+(?:BMC|MP)|EMC)"
    + rb"(?=[ \n\r\t\[(</]|\Z)[ \n\r\t]*",
    re.DOTALL,
)  # fmt: skip


@given(data=st.one_of(marked, soup, streams, nearly))
@settings(max_examples=600, deadline=None)
def test_marks_go_as_by_one_expression(data):
    assert without_marks(data) == MARKS.sub(rb"\1", data)
