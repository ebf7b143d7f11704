"""Content streams that are plain, nearly plain, or a heap of words."""

from hypothesis import strategies as st

from packets.masking.plain_content import without_marks

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
marked_words = st.one_of(
    words,
    marks.map(str.encode),
    st.sampled_from([b"<<", b">>", b"/P", b"/MC0", b"BDC", b"BMC", b"EMC", b"MP", b"DP", b"("]),
)
marked = st.lists(st.tuples(marked_words, gaps), max_size=14).map(
    lambda it: b"".join(map(b"".join, it))
)
