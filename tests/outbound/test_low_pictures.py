"""A picture of one low line is enlarged to be read, and looked at again in its own size."""

import pytest
from PIL import Image, ImageDraw, ImageFont

from packets.identifiers.kinds import ALL_KINDS, MaskPolicy
from packets.outbound.hunting import Hunter
from packets.outbound.picture_hunt import PictureHunter


@pytest.mark.parametrize("height", [12, 18, 24, 36, 59])
@pytest.mark.parametrize("words", ["555-41-7788", "55541 7788 1", "5554177 88"])
def test_a_low_picture_is_read_and_ends_no_check(height: int, words: str) -> None:
    picture = Image.new("L", (height * 8, height), 255)
    font = ImageFont.load_default(height * 0.7)
    ImageDraw.Draw(picture).text((4, 1), words, fill=0, font=font)
    with PictureHunter(Hunter((), MaskPolicy(kinds=ALL_KINDS))) as hunter:
        found = hunter.letters(picture)
    assert found.hits or height < 36 or words != "555-41-7788"
