"""Fonts are cleared wherever they are used, and those that tell nothing are left alone."""

import io
import subprocess
import sys

import pikepdf
import pytest
from masking_run import known_number, mask
from other_readers import READERS, by_pdfium, by_pdfminer
from pikepdf import Array, Dictionary, Name
from pixels import differs_outside
from planted_fonts import true_type_page
from planted_pages import as_bytes, blank_sheet, sheet
from subset_documents import KINDS, by_first_use, document_in
from subset_programs import compact

from packets.masking.font_orphans import UNREAD, clear_fonts
from packets.masking.hit_fonts import HitFonts

KNOWN = [known_number("987-65-4320")]


def show(codes, text, x=30, y=300, before=b""):
    shown = b"".join(codes[char] for char in text).hex().encode()
    return b"BT /F1 12 Tf %s %d %d Td <%s> Tj ET\n" % (before, x, y, shown)


def cleared(pdf: bytes, **hit) -> bytes:
    with pikepdf.open(io.BytesIO(pdf)) as document:
        assert clear_fonts(document, HitFonts(all_fonts=True, **hit)) == ()
        return as_bytes(document)


def programs(pdf: bytes) -> list[bytes]:
    with pikepdf.open(io.BytesIO(pdf)) as document:
        return [
            item[key].read_bytes()
            for item in document.objects
            for key in ("/FontFile", "/FontFile2", "/FontFile3")
            if isinstance(item, pikepdf.Dictionary) and key in item
        ]


@pytest.mark.parametrize("kind", KINDS)
def test_not_one_pixel_differs_where_a_font_loses_what_nobody_shows(kind):
    """The font holds digits in their order of use, of which the page shows only some."""

    def make(document, chars):
        return KINDS[kind](document, by_first_use("987-65" + chars))

    pdf = document_in(make, ["Total 2,034 due", "Names: Zoe and Abel, 98"])
    result = cleared(pdf)
    assert result != pdf
    assert differs_outside(pdf, result, []) == 0
    for read in READERS.values():
        assert read(result).split() == read(pdf).split()


def nested_page(kind, head):
    """The number on the page; other text in a form without a font of its own, a pattern, a second
    page, and behind word spacing."""
    document = blank_sheet(2)
    number = head + "4320"
    font, codes = KINDS[kind](document, by_first_use(number + "form 6 of 09patern 17 secod"))
    inherited = document.make_stream(show(codes, "form 6 of 09").replace(b"/F1 12 Tf ", b""))
    inherited.Type, inherited.Subtype = Name.XObject, Name.Form
    inherited.BBox = Array([0, 0, 400, 400])
    pattern = document.make_stream(show(codes, "pattern 17", 10, 10))
    pattern.PatternType, pattern.PaintType, pattern.TilingType = 1, 1, 1
    pattern.BBox, pattern.XStep, pattern.YStep = Array([0, 0, 100, 40]), 100, 40
    pattern.Resources = Dictionary(Font=Dictionary(F1=font))
    first, second = document.pages[0].obj, document.pages[1].obj
    first.Resources = Dictionary(
        Font=Dictionary(F1=font), XObject=Dictionary(X1=inherited), Pattern=Dictionary(P1=pattern)
    )
    first.Contents = document.make_stream(
        show(codes, number, y=350)
        + b"/F1 12 Tf /X1 Do /Pattern cs /P1 scn 30 30 200 80 re f 0 g "
        + show(codes, "secod 7 of 9", y=200, before=b"4 Tw 1 Tc")
    )
    second.Resources = Dictionary(Font=Dictionary(F1=font))
    second.Contents = document.make_stream(show(codes, "second 17"))
    return as_bytes(document)


@pytest.mark.parametrize("kind", KINDS)
def test_every_string_in_a_cleared_font_is_written_anew_wherever_it_is_shown(kind):
    pdf = nested_page(kind, "98765")
    result = mask(pdf, KNOWN)
    assert not result.unread
    text = by_pdfium(result.pdf)
    for part in ("4320", "form 6 of 09", "secod 7 of 9", "second 17"):
        assert part in text
    if kind != "Type 3":  # PDFium sets pictures of its glyphs, on whole pixels
        assert differs_outside(pdf, result.pdf, [(28, 36, 71, 53)]) == 0
    assert differs_outside(pdf, result.pdf, [], page=1) == 0
    assert result.pdf == mask(nested_page(kind, "90012"), [known_number("90012" + "4320")]).pdf


def test_two_fonts_with_one_program_keep_what_either_shows():
    document = blank_sheet(2)
    font, codes = KINDS["symbolic TrueType"](document, by_first_use("987654320 and 7"))
    twin = document.make_indirect(Dictionary(dict(font.items())))
    texts = ["987654320", "and 7"]
    for page, own, text in zip(document.pages, (font, twin), texts, strict=True):
        page.obj.Resources = Dictionary(Font=Dictionary(F1=own))
        page.obj.Contents = document.make_stream(show(codes, text))
    pdf = as_bytes(document)
    result = mask(pdf, KNOWN)
    assert not result.unread
    assert differs_outside(pdf, result.pdf, [], page=1) == 0
    assert by_pdfminer(result.pdf) == "XXXXX4320and 7"


def test_a_whole_font_is_not_touched():
    """reportlab keeps every character of ASCII in its subsets."""
    pdf = true_type_page()
    assert programs(mask(pdf).pdf) == programs(pdf)


def test_a_standard_font_costs_no_look_into_fonts():
    code = (
        "import sys; sys.path[:0] = sys.argv[1:]\n"
        "from masking_run import mask; from planted_pages import sheet\n"
        "done = mask(sheet(b'BT /F1 12 Tf 50 300 Td (SSN 987-65-4320) Tj ET'))\n"
        "assert len(done.masks) == 1\n"
        "assert not any(name.startswith('fontTools') for name in sys.modules)\n"
    )
    run = [sys.executable, "-c", code, *[path for path in sys.path if path]]
    subprocess.run(run, check=True)


def test_a_page_left_out_tells_nothing_through_a_font_that_it_shared():
    from masking_run import reader

    from packets.identifiers.kinds import MaskPolicy
    from packets.masking.mask_document import MaskOrder, mask_document
    from packets.masking.survey import survey_document

    def packet(head):
        document = blank_sheet(2)
        font, codes = KINDS["TrueType by glyph number"](document, by_first_use(head + "4320 and 7"))
        for page, text in zip(document.pages, (head + "4320", "and 7"), strict=True):
            page.obj.Resources = Dictionary(Font=Dictionary(F1=font))
            page.obj.Contents = document.make_stream(show(codes, text))
        pdf = as_bytes(document)
        survey = survey_document(pdf, reader())
        order = MaskOrder(pdf, survey, (1,), (known_number(head + "4320"),), MaskPolicy())
        return mask_document(order, reader())

    one, other = packet("98765"), packet("90012")
    assert not one.unread
    assert one.pdf == other.pdf


def test_a_digit_without_a_program_goes_from_widths_and_names():
    names = ["nine", "eight", "seven", "six", "five", "four", "three", "two", "zero", "A"]

    def font(_):
        return Dictionary(
            Type=Name.Font, Subtype=Name.TrueType, BaseFont=Name.Arial, FirstChar=65, LastChar=74,
            Widths=Array([556] * 9 + [667]),
            Encoding=Dictionary(Differences=Array([65, *(Name("/" + name) for name in names)])),
        )  # fmt: skip

    pdf = sheet(b"BT /F2 12 Tf 50 300 Td (ABCDEFGHI J) Tj ET", fonts={"F2": font})
    result = mask(pdf, KNOWN)
    assert not result.unread
    for name in names[:5]:
        assert b"/" + name.encode() not in result.pdf
    with pikepdf.open(io.BytesIO(result.pdf)) as document:
        new = document.pages[0].obj.Resources.Font.F2
        assert [str(item) for item in new.Encoding.Differences] == [
            "32", "/space", "65", "/zero", "/two", "/three", "/four", "/A",
        ]  # fmt: skip
        assert list(new.Widths) == [556, 556, 556, 556, 667]


def test_subroutines_of_glyphs_that_went_do_not_stay(tmp_path):
    def with_subroutines(document, chars):
        font, codes = KINDS["compact by glyph number"](document, chars)
        stream = font.DescendantFonts[0].FontDescriptor.FontFile3
        stream.write(compact(chars, subroutines=True))
        return font, codes

    results = [
        mask(document_in(with_subroutines, [f"SSN {head}-4320", "and 7"]), KNOWN)
        for head in ("987-65", "900-12")
    ]
    assert not results[0].unread
    assert results[0].pdf == results[1].pdf
    plain = document_in(KINDS["compact by glyph number"], ["SSN 987-65-4320", "and 7"])
    assert differs_outside(plain, results[0].pdf, [(55, 35, 120, 56)]) == 0


BROKEN = {
    "cut off": lambda data: data[:400],
    "no font at all": lambda _: b"\0\1\0\0 no font at all",
    "empty": lambda _: b"",
}


@pytest.mark.parametrize("damage", BROKEN.values(), ids=BROKEN.keys())
@pytest.mark.parametrize("kind", ["symbolic TrueType", "Type 1C with names", "Type 1"])
def test_a_program_that_cannot_be_read_holds_the_packet(kind, damage):
    def make(document, chars):
        font, codes = KINDS[kind](document, chars)
        for key in ("/FontFile", "/FontFile2", "/FontFile3"):
            if key in font.FontDescriptor:
                font.FontDescriptor[key].write(damage(font.FontDescriptor[key].read_bytes()))
        return font, codes

    assert UNREAD in mask(document_in(make, ["SSN 987-65-4320"]), KNOWN).unread
