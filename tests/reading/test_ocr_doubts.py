"""What OCR could not read, or not surely, never counts as clean where a label names a number."""

import pytest
from masking_run import mask, reader
from pikepdf import Name
from PIL import Image, ImageDraw, ImageFont
from planted_pictures import drawn, flate, picture_sheet

from packets.base.errors import OurFault
from packets.identifiers.kinds import ALL_KINDS, Kind
from packets.masking.unsure_words import unsure_kinds
from packets.reading.ocr import OcrReader
from packets.reading.records import OcrWord, PictureText


def page_of(*words: tuple[str, float, float, float]) -> PictureText:
    """Words with their left side, row, and confidence; 10 pixels a letter, rows 30 apart."""
    made = []
    for text, left, row, sure in words:
        top = 30 * row
        symbols = tuple(
            (char, left + 10 * k, top, left + 10 * k + 9, top + 16) for k, char in enumerate(text)
        )
        made.append(OcrWord(symbols, sure))
    return PictureText(tuple(made), 0, 1000, 1000, 80.0)


UNSURE = {
    "behind its label": page_of(("SSN", 10, 0, 95), ("98?-65-4S2", 60, 0, 31)),
    "below its label": page_of(
        ("Social", 10, 0, 95), ("security", 90, 0, 95), ("number", 190, 0, 95),
        ("987-G5-43", 20, 1, 40),
    ),
    "a digit short, though sure of it": page_of(("SSN:", 10, 0, 95), ("987-65-432", 70, 0, 92)),
    "a digit too many": page_of(("TIN", 10, 0, 95), ("9876543201", 70, 0, 92)),
}  # fmt: skip


@pytest.mark.parametrize("text", UNSURE.values(), ids=UNSURE.keys())
def test_a_doubtful_word_that_a_label_announces_is_reported(text):
    assert unsure_kinds(text) == (Kind.SSN,)


CLEAR = {
    "a receipt": page_of(("TOTAL", 10, 0, 40), ("1Z.99", 90, 0, 30), ("0O7 44I", 10, 1, 20)),
    "a blank field": page_of(("SSN", 10, 0, 95), ("Name", 10, 3, 95)),
    "a number that is found": page_of(("SSN", 10, 0, 95), ("987-65-4320", 60, 0, 40)),
    "a mask": page_of(("SSN", 10, 0, 95), ("XXX-XX-4320", 60, 0, 30)),
    "stars": page_of(("SSN", 10, 0, 95), ("***-**-4320", 60, 0, 30)),
    "words behind it": page_of(("SSN", 10, 0, 95), ("required", 60, 0, 30)),
    "an amount far away": page_of(("SSN", 10, 0, 95), ("12,50O.00", 700, 0, 30)),
    "a telephone label": page_of(("Phone", 10, 0, 95), ("555O10", 80, 0, 30)),
}


@pytest.mark.parametrize("text", CLEAR.values(), ids=CLEAR.keys())
def test_doubts_that_no_label_gives_weight_are_no_matter(text):
    assert unsure_kinds(text) == ()


def grey(picture):
    return lambda document: flate(document, picture, Name.DeviceGray)


def noise(words: str) -> Image.Image:
    """Words of which the engine sees the label well and the figures badly."""
    picture = Image.new("L", (900, 300), 255)
    draw = ImageDraw.Draw(picture)
    draw.text((40, 60), "Social security number", font=ImageFont.load_default(size=48), fill=0)
    draw.text((40, 150), words, font=ImageFont.load_default(size=48), fill=0)
    for x in range(45, 380, 9):
        draw.line((x, 150, x + 4, 205), fill=255, width=3)
    return picture


def test_scratched_figures_under_their_label_are_masked_or_hold_the_packet():
    result = mask(picture_sheet(grey(noise("987-65-4320"))))
    assert result.unread or result.masks


@pytest.mark.parametrize("error", [RuntimeError, OurFault("the OCR engine gave up")])
def test_an_engine_that_fails_makes_the_picture_unread(monkeypatch, error):
    def fail(*_, **__):
        raise error

    monkeypatch.setattr(OcrReader, "read_numbers", fail)
    result = mask(picture_sheet(grey(drawn())))
    assert any("page 1" in words for words in result.unread)


def test_doubts_hold_only_where_the_kind_would_be_masked():
    picture = Image.new("L", (900, 300), 255)
    draw = ImageDraw.Draw(picture)
    font = ImageFont.load_default(size=48)
    draw.text((40, 60), "Employer identification number", font=font, fill=0)
    draw.text((40, 150), "00-76543", font=font, fill=0)
    pdf = picture_sheet(grey(picture))
    assert mask(pdf, kinds=ALL_KINDS).unread
    assert not mask(pdf, kinds=ALL_KINDS - {Kind.EIN}).unread


def test_a_picture_is_read_once():
    ocr = reader()
    first = ocr.read(drawn())
    assert ocr.read(drawn()) is first
