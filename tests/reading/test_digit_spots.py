"""Where digits may stand is told by shapes alone, and whatever is not surely letters is read."""

import pytest
from PIL import Image, ImageDraw, ImageFont

from packets.reading.ink_lines_amounts import is_amount
from packets.reading.ink_lines_sheet import Sheet, cut_out, sheet_of
from packets.reading.ink_lines_spots import digit_spots
from packets.reading.ocr import OcrReader

LEFT, TOP = 300, 400
SMALL, LARGE = 26, 38


def page(*pieces: tuple[str, int]) -> Image.Image:
    """A white page with one row of texts in their sizes, on one foot; a space after each."""
    sheet = Image.new("L", (1700, 2200), 255)
    pen = ImageDraw.Draw(sheet)
    x = float(LEFT)
    for text, size in pieces:
        font = ImageFont.load_default(size=size)
        pen.text((x, TOP), text, font=font, fill=0, anchor="ls")
        x += pen.textlength(f"{text} ", font=font)
    return sheet


def sheet(picture: Image.Image) -> Sheet:
    made = sheet_of(picture, 0.0)
    assert made is not None
    return made


def spans(picture: Image.Image) -> list[tuple[float, float]]:
    """Left and right of each spot."""
    return [(spot.box[0], spot.box[2]) for spot in digit_spots(sheet(picture).rows)]


NUMBERS = {
    "with dashes": [("666-12-3481", SMALL)],
    "with spaces": [("666 12 3481", SMALL)],
    "bare": [("666123481", SMALL)],
    "in parentheses": [("(SSN 666-12-3481)", SMALL)],
    "in a sentence": [("under the number 666-12-3481 since", SMALL)],
    "stuck to small letters": [("no.666123481", SMALL)],
    "behind a larger label": [("SSN", LARGE), ("666-12-3481", SMALL)],
    "between larger words": [("SSN", LARGE), ("666-12-3481", SMALL), ("DOB", LARGE)],
    "one digit apart from the next": [("6  6  6  1  2  3  4  8  1", SMALL)],
    "an account": [("account 0088412073", SMALL)],
    "four digits": [("account 4417", SMALL)],
}


@pytest.mark.parametrize("pieces", NUMBERS.values(), ids=NUMBERS.keys())
def test_a_number_lies_within_one_spot(pieces):
    picture = page(*pieces)
    pen = ImageDraw.Draw(picture)
    start = float(LEFT)
    for text, size in pieces:
        font = ImageFont.load_default(size=size)
        at = next((k for k, char in enumerate(text) if char.isdigit()), None)
        if at is not None:
            left = start + pen.textlength(text[:at], font=font)
            right = start + pen.textlength(text.rstrip(" )abcdefghijklmnopqrstuvwxyz"), font=font)
            assert any(low <= left + 3 and right - 8 <= high for low, high in spans(picture))
        start += pen.textlength(f"{text} ", font=font)


@pytest.mark.parametrize("size", [22, 26, 34])
def test_words_in_small_letters_are_no_spots(size):
    picture = page(("the statement of the lender and the wages that you paid", size))
    assert not spans(picture)


def test_capitals_are_read_for_they_have_the_height_of_digits():
    assert spans(page(("MILLBROOK FALLS", SMALL)))


AMOUNTS = {"1,234.56": True, "48,210": True, "113.62": True, "48210.77": True,
           "666-12-3481": False, "0088412073": False, "12345": False, "666.47.1903": False,
           "123456.789": False}  # fmt: skip


@pytest.mark.parametrize(("text", "amount"), AMOUNTS.items(), ids=AMOUNTS.keys())
def test_only_what_is_grouped_as_an_amount_need_not_be_read(text, amount):
    made = sheet(page((text, SMALL)))
    (spot,) = digit_spots(made.rows)
    assert is_amount(spot, made.points) is amount


def test_rules_are_taken_out_of_what_is_read():
    picture = page(("666123481", SMALL))
    pen = ImageDraw.Draw(picture)
    pen.line((200, TOP + 3, 900, TOP + 3), fill=0, width=3)
    made = sheet(picture)
    (spot,) = digit_spots(made.rows)
    cut, _, _ = cut_out(made, spot.box)
    assert min(cut.crop((0, cut.height - 14, cut.width, cut.height)).tobytes()) > 128


def test_a_blank_page_is_read_as_nothing():
    with OcrReader() as ocr:
        assert ocr.read_numbers(Image.new("L", (1700, 2200), 255)).words == ()


def test_what_was_read_whole_is_not_contradicted_by_the_spots():
    picture = page(("Social security number 666-12-3481", 40))
    with OcrReader() as ocr:
        whole = ocr.read(picture)
        numbers = ocr.read_numbers(picture)
    assert "666-12-3481" in {word.text for word in whole.words}
    assert "666-12-3481" in {word.text for word in numbers.words}
