"""A page is made tidy as a whole, and comes out as its lines do one by one."""

from hypothesis import given
from hypothesis import strategies as st

from packets.base.geometry import Box
from packets.intake.page_view import fold, tidy, view_of
from packets.intake.title_index import standing_on, title_index
from packets.reading.records import PageText, TextLine

parts = st.sampled_from(
    [
        *("W 2", "W - 2", "w2g", "Schedule (Form 1040) C", "schedule", "(form 1040)", "SE", "Form"),
        *("—", "’", "İ", "\u00a0", "\t", "  ", " ", "rn", "ﬁ", "Ⅻ", "-", "\x1c", "one", "2025"),
    ]
)
printed = st.lists(st.lists(parts, max_size=6).map("".join), max_size=6)
phrases = [
    phrase.words
    for kind in ("names", "marks", "cues")
    for phrase in getattr(title_index(by_ocr=False), kind)
]


def page_of(lines, read_by="text"):
    return PageText(
        tuple(TextLine(text, Box(40, 40 + 12 * at, 300, 50 + 12 * at), 9) for at, text in lines),
        612,
        792,
        read_by,
    )


@given(printed, st.booleans())
def test_a_page_is_tidied_as_each_of_its_lines_is(lines, by_ocr):
    view = view_of(page_of(list(enumerate(lines)), "ocr" if by_ocr else "text"))
    one_by_one = [tidy(line, by_ocr=by_ocr) for line in lines]
    assert [line.words for line in view.lines] == [words for words in one_by_one if words]
    assert [line.folded for line in view.lines] == [
        fold(words, by_ocr=by_ocr) for words in one_by_one if words
    ]


@given(st.lists(st.lists(st.sampled_from(phrases), max_size=2).map(" x ".join), max_size=4))
def test_no_phrase_that_stands_on_a_page_is_passed_over(lines):
    view = view_of(page_of(list(enumerate(lines))))
    index = title_index(by_ocr=False)
    for every in (index.names, index.marks, index.cues):
        assert standing_on(view, every) == [it for it in every if it.words in view.folded]


@given(st.sampled_from(phrases), st.integers(1, 60), st.booleans())
def test_half_a_phrase_is_none(words, cut, behind):
    part = words[cut:] if behind else words[:-cut]
    view = view_of(page_of([(0, part)]))
    index = title_index(by_ocr=False)
    assert all(it.words in view.folded for it in standing_on(view, index.names))
