"""Every glyph that a page draws is read, whatever is done to hide it."""

import functools

import pymupdf
import pytest
from planted_fonts import THREE_CODES, simple, type_three
from planted_pages import NUMBER, form, sheet

from packets.reading.engine import quiet_engine
from packets.reading.glyphs import clips_with_text, page_glyphs

N = NUMBER.encode()
SHOW = b"BT /F1 12 Tf 50 300 Td (" + N + b") Tj ET"


def glyphs_of(pdf: bytes):
    quiet_engine()
    document = pymupdf.open(stream=pdf, filetype="pdf")
    return page_glyphs(document[0], clipping=clips_with_text(document))


HIDDEN = {
    "plain": SHOW,
    "invisible": b"3 Tr " + SHOW,
    "white": b"1 g " + SHOW,
    "clipped": b"0 0 1 1 re W n " + SHOW,
    "as a clipping path": b"7 Tr " + SHOW,
    "as a clipping path, written otherwise": b"7.0 %x\nTr " + SHOW,
    "of no size": b"BT /F1 0 Tf 50 300 Td (" + N + b") Tj ET",
    "of no width": b"BT /F1 12 Tf 0 Tz 50 300 Td (" + N + b") Tj ET",
    "under other words (ActualText)": b"/Span <</ActualText (nothing)>> BDC " + SHOW + b" EMC",
    "far off the page": b"1 0 0 1 5000 9000 cm " + SHOW,
}


@pytest.mark.parametrize("content", HIDDEN.values(), ids=HIDDEN.keys())
def test_hidden_text_is_read(content):
    assert glyphs_of(sheet(content)).drawn == NUMBER


def test_text_as_a_clipping_path_is_read_inside_a_form():
    pdf = sheet(b"/X1 Do", resources={"XObject": {"X1": form(b"7 Tr " + SHOW)}})
    assert glyphs_of(pdf).drawn == NUMBER


def test_codes_that_a_font_gives_no_name_are_read_by_their_code():
    def nameless(document):
        font = type_three(document)
        del font.ToUnicode
        return font

    content = b"BT /F2 12 Tf 50 300 Td <" + THREE_CODES.hex().encode() + b"> Tj ET"
    read = glyphs_of(sheet(content, fonts={"F2": nameless}))
    assert [ord(char) for char in read.drawn] == list(THREE_CODES)


def test_one_code_for_several_characters_keeps_them_in_order():
    def font(document):
        made = simple("Helvetica")
        made.ToUnicode = document.make_stream(
            b"begincmap 1 begincodespacerange <00> <ff> endcodespacerange\n"
            b"1 beginbfchar <41> <003900380037> endbfchar endcmap"
        )
        return made

    read = glyphs_of(sheet(b"BT /F2 12 Tf 50 300 Td (A) Tj ET", fonts={"F2": font}))
    runs = [run for sheet_of in read.sheets for run in sheet_of]
    assert "".join(run.text for run in runs) == "987"
    places = [x for run in runs for x in run.x0]
    assert places == sorted(places)
    assert len(set(places)) == 3


def test_an_overprint_is_read_twice_at_one_place():
    read = glyphs_of(sheet(SHOW + b" " + SHOW))
    assert read.drawn == NUMBER * 2
    assert read[0].origin == read[len(NUMBER)].origin


@pytest.mark.parametrize(
    ("matrix", "angle"),
    [("1 0 0 1", 0), ("0 1 -1 0", 270), ("-1 0 0 -1", 180), ("0.866 0.5 -0.5 0.866", 330)],
)
def test_text_that_runs_another_way_reads_along_its_line(matrix, angle):
    content = b"BT /F1 10 Tf " + matrix.encode() + b" 200 200 Tm (" + N + b") Tj ET"
    read = glyphs_of(sheet(content))
    (runs,) = read.sheets
    (run,) = runs
    assert run.text == NUMBER
    assert list(run.x0) == sorted(run.x0)
    assert run.bottom - run.top == pytest.approx(10, abs=0.2)
    gaps = [left - right for left, right in zip(run.x0[1:], run.x1, strict=False)]
    assert max(map(abs, gaps)) < 0.1


def test_a_glyph_does_not_print_itself():
    read = glyphs_of(sheet(SHOW))
    assert "9" not in repr(read[0]).split("object at")[0]
    assert functools.reduce(lambda a, b: a + b, (read[k].char for k in range(11))) == NUMBER
