"""Font programs that were broken or built to harm: cleared or held, never a crash or a hang."""

import io

import pikepdf
import pytest
from fontTools.cffLib import CFFFontSet, SubrsIndex
from fontTools.misc.psCharStrings import T2CharString
from hypothesis import given, settings
from hypothesis import strategies as st
from other_readers import by_pdfminer
from pixels import differs_outside
from planted_pages import as_bytes, blank_sheet
from subset_documents import KINDS, document_in
from subset_programs import compact

from packets.masking.font_orphans import UNREAD, clear_fonts
from packets.masking.hit_fonts import HitFonts

EVERY_FONT = HitFonts(all_fonts=True)


@pytest.mark.parametrize("kind", KINDS)
@settings(max_examples=25, deadline=None)
@given(data=st.data())
def test_a_damaged_program_is_cleared_or_holds_the_packet(kind, data):
    with pikepdf.open(io.BytesIO(document_in(KINDS[kind], ["987 Total 2,034", "ab"]))) as document:
        for item in document.objects:
            if isinstance(item, pikepdf.Dictionary):
                for key in ("/FontFile", "/FontFile2", "/FontFile3", "/ToUnicode"):
                    if key in item:
                        item[key].write(damaged(data, item[key].read_bytes()))
        assert clear_fonts(document, EVERY_FONT) in ((), (UNREAD,))


def damaged(data: st.DataObject, program: bytes) -> bytes:
    places = data.draw(
        st.dictionaries(st.integers(0, len(program) - 1), st.integers(0, 255), max_size=6)
    )
    return bytes(places.get(place, byte) for place, byte in enumerate(program))


def test_subroutines_that_call_one_another_without_end_hold_the_packet():
    """Ten levels of twenty calls each: ten million million."""

    def with_bomb(document, chars):
        font, codes = KINDS["compact by glyph number"](document, chars)
        whole = CFFFontSet()
        whole.decompile(io.BytesIO(compact(chars)), None, isCFF2=False)
        top = whole[0]
        subroutines = SubrsIndex()
        for level in range(10):
            calls = [level - 108, "callsubr"] * 20 if level else [1, "hmoveto"]
            string = T2CharString(program=[*calls, "return"])
            string.private, string.globalSubrs = top.Private, []
            subroutines.append(string)
        top.Private.Subrs = subroutines
        for char in list(top.CharStrings.values())[1:]:
            char.decompile()
            char.program = [9 - 107, "callsubr", "endchar"]
        out = io.BytesIO()
        whole.compile(out, type("Font", (), {"recalcBBoxes": False}), isCFF2=False)
        font.DescendantFonts[0].FontDescriptor.FontFile3.write(out.getvalue())
        return font, codes

    with pikepdf.open(io.BytesIO(document_in(with_bomb, ["987 Total 2,034"]))) as document:
        assert clear_fonts(document, EVERY_FONT) == (UNREAD,)


def test_a_map_to_unicode_without_end_holds_the_packet():
    def with_endless_map(document, chars):
        font, codes = KINDS["TrueType by glyph number"](document, chars)
        font.ToUnicode.write(b"1 beginbfrange <00000000> <FFFFFFFF> <0030> endbfrange")
        return font, codes

    with pikepdf.open(io.BytesIO(document_in(with_endless_map, ["987 Total"]))) as document:
        assert clear_fonts(document, EVERY_FONT) == (UNREAD,)


def test_the_code_that_word_spacing_widens_keeps_its_character():
    """Code 32 is an `x` in this font, and every `x` is followed by a wide gap."""
    document = blank_sheet()
    chars = "987bcdefghijklmnopqrstuvwyzABCDx 0"
    font, codes = KINDS["symbolic TrueType"](document, chars)
    assert codes["x"] == b" "
    shown = b"".join(codes[char] for char in "bxcx0").hex().encode()
    page = document.pages[0].obj
    page.Resources = pikepdf.Dictionary(Font=pikepdf.Dictionary(F1=font))
    page.Contents = document.make_stream(
        b"BT /F1 12 Tf 20 Tw 30 300 Td <" + shown + b"> Tj 0 Tw ET"
    )
    before = as_bytes(document)
    assert clear_fonts(document, EVERY_FONT) == ()
    after = as_bytes(document)
    assert differs_outside(before, after, []) == 0
    assert by_pdfminer(after) == by_pdfminer(before) == "bxcx0"


def test_a_form_drawn_under_two_fonts_holds_the_packet():
    """Its string would need other codes for each."""
    document = blank_sheet()
    one, codes = KINDS["symbolic TrueType"](document, "987b0a")
    other, _ = KINDS["symbolic TrueType"](document, "7a980b")
    shown = b"".join(codes[char] for char in "0ab").hex().encode()
    form = document.make_stream(b"BT 30 300 Td <" + shown + b"> Tj ET")
    form.Type, form.Subtype = pikepdf.Name.XObject, pikepdf.Name.Form
    form.BBox = pikepdf.Array([0, 0, 400, 400])
    page = document.pages[0].obj
    page.Resources = pikepdf.Dictionary(
        Font=pikepdf.Dictionary(F1=one, F2=other), XObject=pikepdf.Dictionary(X1=form)
    )
    page.Contents = document.make_stream(b"/F1 12 Tf /X1 Do /F2 12 Tf /X1 Do")
    assert clear_fonts(document, EVERY_FONT) == (UNREAD,)
