"""Numbers in pictures that grey hides: read by whoever knows colours, held by us."""

import io

import pytest
from masking_run import known_number, mask
from PIL import Image, ImageDraw, ImageFilter, ImageFont
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

from packets.identifiers.kinds import ALL_KINDS, MaskPolicy
from packets.outbound.check import check_pdf
from packets.outbound.faint_tones import faint_tones
from packets.outbound.records import Judgement
from packets.reading.faint_ink import faint_layer

NUMBER = "666-12-3456"
SIZE = (1275, 1650)
PLACE = (560, 250, 980, 330)
Colour = tuple[int, int, int]
ON: dict[str, tuple[Colour, Colour]] = {
    "red on green": ((0, 130, 0), (255, 0, 0)),
    "blue on brown": ((90, 45, 0), (0, 60, 255)),
    "yellow on white": ((255, 255, 255), (255, 255, 0)),
    "pale yellow on white": ((255, 255, 255), (255, 255, 150)),
    "cyan on white": ((255, 255, 255), (0, 255, 255)),
    "pink on light blue": ((173, 216, 230), (255, 192, 203)),
    "magenta on grey": ((105, 105, 105), (255, 0, 255)),
    "dark red on black": ((0, 0, 0), (140, 0, 0)),
    "blue on black": ((0, 0, 0), (0, 0, 255)),
    "grey 240 on white": ((255, 255, 255), (240, 240, 240)),
    "grey 250 on white": ((255, 255, 255), (250, 250, 250)),
    "grey 8 on black": ((0, 0, 0), (8, 8, 8)),
}


def paper(ground: Colour, ink: Colour, words: str = NUMBER) -> Image.Image:
    page = Image.new("RGB", SIZE, "white")
    draw = ImageDraw.Draw(page)
    font = ImageFont.load_default(36)
    for row, line in enumerate(
        ("Statement of interest paid to the borrower", "Your social security number",
         "Total interest paid 1,234.56", "Keep this paper for your records please")
    ):  # fmt: skip
        draw.text((80, 170 + row * 100), line, fill="black", font=font)
    draw.rectangle(PLACE, fill=ground)
    draw.text((590, 268), words, fill=ink, font=font)
    return page


def sheet(picture: Image.Image) -> bytes:
    data = io.BytesIO()
    canvas = Canvas(data, pagesize=(612, 792), invariant=True)
    canvas.drawImage(ImageReader(picture), 0, 0, 612, 792)
    canvas.showPage()
    canvas.save()
    return data.getvalue()


def judged(pdf: bytes, *known: object) -> Judgement:
    policy = MaskPolicy(kinds=ALL_KINDS)
    return check_pdf(pdf, name="a.pdf", passphrase=None, known=known, policy=policy).judgement  # type: ignore[arg-type]


@pytest.mark.parametrize(("ground", "ink"), ON.values(), ids=ON)
def test_a_number_that_grey_hides_holds_the_page_and_the_file(ground: Colour, ink: Colour) -> None:
    pdf = sheet(paper(ground, ink))
    assert mask(pdf).unread
    assert judged(pdf) is Judgement.HELD


@pytest.mark.parametrize("turn", [Image.Transpose.ROTATE_90, Image.Transpose.ROTATE_180])
def test_it_is_seen_in_any_direction(turn: Image.Transpose) -> None:
    pdf = sheet(paper(*ON["yellow on white"]).transpose(turn))
    assert mask(pdf).unread
    assert judged(pdf, known_number(NUMBER)) is Judgement.HELD


def test_words_that_grey_hides_hold_nothing() -> None:
    for ground, ink in (ON["yellow on white"], ON["red on green"], ON["grey 250 on white"]):
        pdf = sheet(paper(ground, ink, "not a number"))
        assert not mask(pdf).unread
        assert judged(pdf) is Judgement.CLEAN


def test_a_photograph_and_a_shadow_hold_nothing() -> None:
    photograph = Image.effect_mandelbrot((640, 480), (-2.0, -1.2, 1.0, 1.2), 40).convert("RGB")
    photograph = Image.merge("RGB", (photograph.getchannel(0), *(
        photograph.getchannel(0).transpose(turn)
        for turn in (Image.Transpose.FLIP_LEFT_RIGHT, Image.Transpose.FLIP_TOP_BOTTOM)
    )))  # fmt: skip
    page = paper((255, 255, 255), (255, 255, 255))
    page.paste(photograph, (300, 700))
    shadow = Image.linear_gradient("L").resize((SIZE[0], 300))
    pale = shadow.point([230 + tone // 12 for tone in range(256)])
    page.paste(Image.merge("RGB", [pale] * 3), (0, 1300))
    pdf = sheet(page.filter(ImageFilter.SMOOTH))
    assert not mask(pdf).unread
    assert judged(pdf) is Judgement.CLEAN


def test_plain_print_leaves_nothing_to_look_for() -> None:
    page = paper((255, 255, 255), (0, 0, 0))
    assert faint_layer(page) is None
    assert faint_tones(page) is None
    assert faint_layer(page.convert("L")) is None
    assert faint_tones(page.convert("L")) is None
