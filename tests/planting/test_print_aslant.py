"""A number that lies aslant in a picture: a slip askew on the glass, a page scanned askew."""

import numpy as np
import pytest
from masking_run import mask
from PIL import Image, ImageDraw, ImageFont
from test_faint_pictures import NUMBER, SIZE, judged, paper, sheet

from packets.identifiers.slanting_rows import slanting_print
from packets.outbound.records import Judgement

WHITE = (255, 255, 255)


def slip(degrees: float, words: str = NUMBER) -> Image.Image:
    """A page in good order with a slip on it, turned by so many degrees."""
    page = paper(WHITE, WHITE)
    part = Image.new("L", (420, 420), 255)
    ImageDraw.Draw(part).text((60, 180), words, fill=0, font=ImageFont.load_default(36))
    page.paste(part.rotate(degrees, fillcolor=255).convert("RGB"), (600, 700))
    return page


def askew(degrees: float) -> Image.Image:
    page = paper(WHITE, (0, 0, 0))
    return page.rotate(degrees, Image.Resampling.BICUBIC, fillcolor="white")


@pytest.mark.parametrize("degrees", [9, 20, 45, 70, 100, 160, -15, -80])
def test_a_slip_laid_askew_holds_the_page_and_the_file(degrees: float) -> None:
    pdf = sheet(slip(degrees))
    assert mask(pdf).unread
    assert judged(pdf) is Judgement.HELD


@pytest.mark.parametrize("degrees", [6, 12, 20, 30, 45, -25])
def test_a_page_scanned_askew_is_masked_or_held(degrees: float) -> None:
    pdf = sheet(askew(degrees))
    result = mask(pdf)
    assert result.unread or judged(result.pdf) is Judgement.CLEAN
    assert result.unread or [one.shown for one in result.masks] == ["XXX-XX-3456"]
    assert judged(pdf) is Judgement.HELD


def test_words_on_a_slip_hold_nothing() -> None:
    pdf = sheet(slip(20, "not a number"))
    assert not mask(pdf).unread
    assert judged(pdf) is Judgement.CLEAN


@pytest.mark.parametrize("level", [-3.0, 0.0, 3.0])
def test_level_rows_are_not_aslant(level: float) -> None:
    rng = np.random.default_rng(1)
    rows = []
    for row in range(40):
        x = 80.0
        while x < SIZE[0] - 80:
            wide, high = int(rng.integers(6, 22)), int(rng.choice([16, 22, 24]))
            y = 60 + 36 * row + x * np.tan(np.radians(level))
            rows.append((int(x), int(y) - high, int(x) + wide, int(y)))
            x += wide + (4 if rng.random() < 0.8 else 16)
    assert slanting_print(np.array(rows), level) == ()
