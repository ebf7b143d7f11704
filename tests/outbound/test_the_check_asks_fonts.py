"""The plain check does not believe a map to Unicode that the glyphs contradict."""

import io
import sys
from pathlib import Path

import pikepdf
import pypdfium2
import pytest

sys.path.append(str(Path(__file__).parents[1] / "drawn"))

import misnaming_fonts

from packets.base.limits import DEFAULT_LIMITS
from packets.outbound.false_names import GlyphNames, glyph_names
from packets.outbound.glyph_outlines import outline_of
from packets.outbound.hidden_digits import CHARACTERS, FACES, standard_outlines
from packets.outbound.objects.opened import InflationAllowance, open_file
from packets.outbound.page_ink import ink_of

LYING = {
    "letters for digits": misnaming_fonts.with_false_map,
    "digits for digits": lambda: misnaming_fonts.with_false_map(3),
    "private characters": misnaming_fonts.without_map,
    "a standard face": misnaming_fonts.standard_encoding_with_false_map,
    "two-byte codes": misnaming_fonts.composite,
    "one letter for every digit": lambda: crowded(misnaming_fonts.composite()),
}


def crowded(pdf: bytes) -> bytes:
    """The map calls all letters for digits `a`: then no reader can ask which is drawn."""
    with pikepdf.open(io.BytesIO(pdf)) as document:
        for font in document.pages[0].obj.Resources.Font.values():
            if "/ToUnicode" in font:
                data = font.ToUnicode.read_bytes()
                for code in range(0x61, 0x6B):
                    data = data.replace(b"<%04x>\n" % code, b"<0061>\n")
                font.ToUnicode = document.make_stream(data)
        out = io.BytesIO()
        document.save(out)
        return out.getvalue()


def names_of(pdf: bytes) -> GlyphNames:
    allowance = InflationAllowance(DEFAULT_LIMITS)
    return glyph_names(open_file(pdf, None, DEFAULT_LIMITS, allowance), allowance)


def misleads(pdf: bytes) -> bool:
    with pypdfium2.PdfDocument(pdf) as document:
        page = document[0]
        return names_of(pdf).mislead_on(page, page.get_textpage(), ink_of(page).texts)


@pytest.mark.parametrize("make", LYING.values(), ids=LYING)
def test_a_font_that_draws_digits_under_other_names_is_found_out(make) -> None:
    assert misleads(make())


def test_a_font_that_tells_the_truth_is_believed() -> None:
    pdf = misnaming_fonts.true_type()
    assert names_of(pdf).may_mislead
    assert not misleads(pdf)


def test_the_kept_outlines_of_the_standard_faces_are_those_that_pdfium_draws() -> None:
    with pypdfium2.PdfDocument.new() as document:
        load = pypdfium2.raw.FPDFText_LoadStandardFont
        fonts = [load(document.raw, face) for face in FACES]
        for char in CHARACTERS:
            drawn = [outline_of(font, char) for font in fonts]
            assert list(standard_outlines(char)) == [each for each in drawn if each is not None]
    assert all(len(standard_outlines(digit)) == len(FACES) for digit in "0123456789")
    assert standard_outlines("é") == standard_outlines(" ") == ()
