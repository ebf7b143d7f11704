"""Names, embedded texts and file remains that hold a number go; the page looks the same."""

import pypdfium2
from masking_run import mask
from object_walk import places_with_number
from pikepdf import Dictionary, Name
from plain_page import DIGITS, KNOWN, document_with
from planted_pages import as_bytes, form


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
