"""Names, embedded texts and file remains that hold a number go; the page looks the same."""

import io

import pikepdf
import pypdfium2
from masking_run import mask
from object_walk import places_with_number
from pikepdf import Array, Dictionary, Name
from PIL import ImageCms
from pixels import differs_outside
from planted_fonts import THREE_CODES, to_unicode, true_type_page, type_three
from planted_pages import as_bytes, form
from planted_pictures import drawn
from rebuild_samples import DIGITS, KNOWN, TEXT, N, document_with


def named_font(d):
    return Dictionary(
        Type=Name.Font, Subtype=Name.Type1, BaseFont=Name("/" + DIGITS + "+Helvetica"),
        Name=Name("/N" + DIGITS), Encoding=Name.WinAnsiEncoding,
    )  # fmt: skip


def test_names_that_hold_a_number_are_given_others():
    name = f"F{DIGITS}"
    content = b"BT /" + name.encode() + b" 12 Tf 50 300 Td (plain words) Tj ET /X" + DIGITS.encode()
    document = document_with(
        content + b" Do",
        {name: named_font},
        {"XObject": {f"X{DIGITS}": form(b"0 0 9 9 re f")}},
    )
    pdf = as_bytes(document)
    result = mask(pdf, KNOWN)
    assert places_with_number(result.pdf) == []
    # Not pixel for pixel: PDFium takes digits in the name of a font that is not embedded
    # for its weight, and so draws a bolder stand-in before than after.
    assert shown_words(result.pdf) == shown_words(pdf) == "plain words"


def shown_words(pdf):
    with pypdfium2.PdfDocument(pdf) as document:
        return document[0].get_textpage().get_text_bounded().strip()


def test_glyph_names_and_map_comments_that_hold_a_number_go():
    def font(d):
        made = type_three(d)
        made.ToUnicode = d.make_stream(to_unicode(1, b"% " + N + b"\n/Note (" + N + b") def"))
        procedures = made.CharProcs
        procedures[f"/g{DIGITS}"] = procedures["/g0"]
        made.Encoding.Differences[1] = Name(f"/g{DIGITS}")
        return made

    codes = THREE_CODES[-4:].hex().encode()
    pdf = as_bytes(document_with(b"BT /F2 12 Tf 50 300 Td <" + codes + b"> Tj ET", {"F2": font}))
    result = mask(pdf, KNOWN)
    assert places_with_number(result.pdf) == []
    assert differs_outside(pdf, result.pdf, []) == 0


def test_earlier_revisions_and_bytes_behind_the_end_stay_behind():
    first = as_bytes(document_with(TEXT.replace(b"plain words", N)))
    out = io.BytesIO(first)
    with pikepdf.open(io.BytesIO(first)) as document:
        document.pages[0].obj.Contents = document.make_stream(TEXT)
        out = io.BytesIO()
        document.save(out)
    pdf = first + out.getvalue() + b"\n% " + N + b"\n" + first[:200]
    assert places_with_number(pdf)
    assert places_with_number(mask(pdf, KNOWN).pdf) == []


def test_words_in_a_colour_profile_that_hold_a_number_go():
    """The copyright of a real profile exchanged for one of the same length."""
    plain = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    words = "No copyright, use freely".encode("utf-16-be")
    assert words in plain

    def space(d):
        number = DIGITS.ljust(24).encode("utf-16-be")
        profile = d.make_stream(plain.replace(words, number))
        profile.N = 3
        return Array([Name.ICCBased, d.make_indirect(profile)])

    content = b"/CS1 cs 0.8 0.2 0.1 sc 0 0 50 50 re f " + TEXT
    pdf = as_bytes(document_with(content, {}, {"ColorSpace": {"CS1": space}}))
    assert places_with_number(pdf)
    result = mask(pdf, KNOWN)
    assert places_with_number(result.pdf) == []
    assert differs_outside(pdf, result.pdf, []) == 0


def test_a_page_piece_of_a_jpeg_goes_with_its_comments():
    out = io.BytesIO()
    drawn(words="nothing").save(out, "JPEG", comment=N, exif=b"Exif\0\0" + N)

    def image(d):
        made = d.make_stream(out.getvalue())
        made.Type, made.Subtype, made.Filter = Name.XObject, Name.Image, Name.DCTDecode
        made.Width, made.Height = drawn().size
        made.BitsPerComponent, made.ColorSpace = 8, Name.DeviceGray
        return made

    pdf = as_bytes(document_with(b"q 90 0 0 30 9 9 cm /Im1 Do Q", {}, {"XObject": {"Im1": image}}))
    assert places_with_number(pdf)
    result = mask(pdf, KNOWN)
    assert places_with_number(result.pdf) == []
    assert differs_outside(pdf, result.pdf, []) == 0


def test_an_embedded_font_keeps_its_glyphs_and_loses_a_number_in_its_names():
    """Rows of glyph numbers look like digits; only texts are touched."""
    pdf = true_type_page()
    plain = mask(pdf)
    with pikepdf.open(io.BytesIO(pdf)) as document:
        font = next(f for f in document.pages[0].obj.Resources.Font.values()
                    if "/FontDescriptor" in f)  # fmt: skip
        program = font.FontDescriptor.FontFile2
        data = bytes(program.read_bytes())
        words = b"Bitstream Vera"
        assert words in data
        program.write(data.replace(words, DIGITS.encode() + b" " * 5))
        named = as_bytes(document)
    assert any("data" in place for place in places_with_number(named))
    result = mask(named, KNOWN)
    assert places_with_number(result.pdf) == []
    assert differs_outside(plain.pdf, result.pdf, []) == 0
