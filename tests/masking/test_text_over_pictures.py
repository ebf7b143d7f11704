"""What a scanner has laid over a picture goes where the picture shows a number."""

import io

import pikepdf
import pypdfium2
import pytest
from masking_run import mask
from PIL import Image, ImageDraw, ImageFont
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

NUMBER = "666-12-3456"
LINES = (
    "Statement of interest paid to the borrower",
    f"Your social security number  {NUMBER}",
    "Total interest paid 1,234.56",
    "Keep this paper for your records please",
)
UNIT = 612 / 1700
"""Points to a pixel of a letter page at 200 dpi."""
MISREAD = (
    "666-l2-34S6", "66b-l2-345b", "666-12-345", "6 66-1 2.34", "66612345", "€66-12-3456",
    "sss-iz-3456", "666 12", "666-12-34567",
)  # fmt: skip
LAST_FOUR = {"3456", "34S6", "345b", "34567"}


def picture() -> Image.Image:
    page = Image.new("L", (1700, 2200), 255)
    draw = ImageDraw.Draw(page)
    for row, line in enumerate(LINES):
        draw.text((140, 200 + row * 120), line, fill=0, font=ImageFont.load_default(46))
    return page


def scanned(layer: str, *, twice: bool = False) -> bytes:
    """The picture with what a scanner read of it as text that nobody sees, word by word."""
    font = ImageFont.load_default(46)
    data = io.BytesIO()
    canvas = Canvas(data, pagesize=(612, 792), invariant=True)
    for down in (0, 396) if twice else (0,):
        height = 396 if twice else 792
        canvas.saveState()
        canvas.translate(0, 396 - down if twice else 0)
        canvas.scale(1, height / 792)
        canvas.drawImage(ImageReader(picture()), 0, 0, 612, 792)
        for row, line in enumerate(LINES):
            x = 140.0
            for word in line.split():
                width = font.getlength(word)
                shown = layer if word == NUMBER else word
                text = canvas.beginText(x * UNIT, 792 - (240 + row * 120) * UNIT)
                text.setTextRenderMode(3)
                text.setFont("Helvetica", 16)
                natural = canvas.stringWidth(shown, "Helvetica", 16)
                text.setHorizScale(100 * width * UNIT / natural)
                text.textOut(shown)
                canvas.drawText(text)
                x += width + font.getlength(" ")
        canvas.restoreState()
    canvas.showPage()
    canvas.save()
    return data.getvalue()


def text_of(pdf: bytes) -> str:
    with pypdfium2.PdfDocument(pdf) as document:
        return "\n".join(page.get_textpage().get_text_bounded() for page in document)


@pytest.mark.parametrize("layer", MISREAD)
def test_what_was_misread_over_a_number_goes_with_it(layer: str) -> None:
    source = scanned(layer)
    assert layer.split(maxsplit=1)[0] in text_of(source)
    result = mask(source)
    assert not result.unread
    left = text_of(result.pdf)
    told = {word for word in layer.replace("-", " ").split() if len(word) > 1}
    assert not any(word in left for word in told - LAST_FOUR)
    others = [line for line in LINES if NUMBER not in line]
    assert others == [line.strip() for line in left.splitlines() if "security" not in line]


def test_a_number_that_was_read_rightly_keeps_its_last_four() -> None:
    assert "number XXX-XX-3456" in " ".join(text_of(mask(scanned(NUMBER)).pdf).split())


@pytest.mark.parametrize("rotate", [90, 180, 270])
def test_a_turned_page_loses_it_too(rotate: int) -> None:
    with pikepdf.open(io.BytesIO(scanned("666-l2-345"))) as document:
        document.pages[0].Rotate = rotate
        source = io.BytesIO()
        document.save(source)
    result = mask(source.getvalue())
    assert "666" not in text_of(result.pdf)
    assert "1,234.56" in text_of(result.pdf)


def test_a_picture_that_is_shown_twice_loses_it_in_both_places() -> None:
    source = scanned("666-l2-345", twice=True)
    with pikepdf.open(io.BytesIO(source)) as document:
        assert len(document.pages[0].get_images()) == 1
    assert text_of(source).count("666-l2-345") == 2
    assert "666" not in text_of(mask(source).pdf)


def test_text_over_a_picture_without_a_number_stays() -> None:
    words = "over 12 lines and 3456 words of it"
    data = io.BytesIO()
    canvas = Canvas(data, pagesize=(612, 792), invariant=True)
    page = Image.new("L", (1700, 2200), 255)
    ImageDraw.Draw(page).text((140, 200), LINES[0], fill=0, font=ImageFont.load_default(46))
    canvas.drawImage(ImageReader(page), 0, 0, 612, 792)
    canvas.drawString(50, 712, words)
    canvas.showPage()
    canvas.save()
    result = mask(data.getvalue())
    assert not result.masks
    assert words in text_of(result.pdf)
