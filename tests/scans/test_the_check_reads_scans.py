"""The check reads a sharp scan only where digits may stand, and overlooks no number by that."""

import numpy as np
import pytest
from clean_controls import controls
from PIL import Image, ImageDraw, ImageFont
from scan_faults import Flaw, Scan
from scan_papers import papers
from scanned_pages import scanned

from packets.identifiers.kinds import MaskPolicy
from packets.outbound.digit_shapes import digit_likeness
from packets.outbound.hunting import Hunter
from packets.outbound.picture_hunt import PictureHunter
from packets.outbound.picture_marks import marks_in
from packets.outbound.spot_reading import read_spots

_SCANS = [Scan(200), Scan(150, skew=1.0, quality=60)]


@pytest.fixture(scope="module")
def pictures():
    with PictureHunter(Hunter((), MaskPolicy())) as hunter:
        yield hunter


@pytest.mark.parametrize("scan", _SCANS, ids=str)
@pytest.mark.parametrize("paper", papers(), ids=lambda paper: paper.name)
def test_a_number_on_a_scan_is_seen(pictures, paper, scan):
    found = pictures.letters(scanned(paper, scan).picture, scanned=True)
    assert {"ssn", "itin"} & {hit.kind for hit in found.hits}


@pytest.mark.parametrize("paper", controls(), ids=lambda paper: paper.name)
def test_a_scan_without_a_number_stays_clean(pictures, paper):
    found = pictures.letters(scanned(paper, Scan(200)).picture, scanned=True)
    assert not found.hits
    assert not found.poor


def unread(picture):
    raise AssertionError("a rough picture is not to be read by spots")


@pytest.mark.parametrize("flaw", [Flaw.NOISE, Flaw.BLUR, Flaw.FAX])
def test_a_rough_scan_is_left_to_the_whole_reading(flaw):
    picture = scanned(papers()[0], Scan(200, flaw=flaw)).picture.convert("L")
    assert read_spots(picture, unread) is None


def test_a_small_picture_is_left_to_the_whole_reading():
    assert read_spots(Image.new("L", (900, 900), 255), unread) is None


def test_light_print_on_a_dark_page_is_left_to_the_whole_reading():
    picture = Image.new("L", (1700, 2200), 20)
    font = ImageFont.load_default(size=40)
    ImageDraw.Draw(picture).text((300, 300), "666-12-3481", fill=255, font=font)
    assert read_spots(picture, unread) is None


@pytest.mark.parametrize("size", [18, 26, 44])
def test_digits_look_like_digits_and_letters_mostly_do_not(size):
    def likeness(text):
        picture = Image.new("L", (1700, 200), 255)
        font = ImageFont.load_default(size=size)
        ImageDraw.Draw(picture).text((20, 60), text, fill=0, font=font)
        marks = marks_in(picture)
        return digit_likeness(marks.tones, marks.boxes)

    assert np.mean(likeness("0 1 2 3 4 5 6 7 8 9") > 0.5) >= 0.8
    assert np.mean(likeness("a c d e f h k m n p r t u v w x y A E F H K M N R T") > 0.5) <= 0.2
