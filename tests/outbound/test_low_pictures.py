"""A picture of one low line is enlarged to be read, and looked at again in its own size."""

from PIL import Image, ImageDraw, ImageFont

from packets.identifiers.kinds import ALL_KINDS, MaskPolicy
from packets.outbound.hunting import Hunter
from packets.outbound.picture_hunt import PictureHunter


def test_a_line_cut_off_at_its_foot_ends_no_check() -> None:
    picture = Image.new("L", (120, 20), 255)
    font = ImageFont.load_default(14)
    ImageDraw.Draw(picture).text((2, 7), "900-41-7788", fill=0, font=font)
    with PictureHunter(Hunter((), MaskPolicy(kinds=ALL_KINDS))) as hunter:
        hunter.letters(picture)  # ended with a fault: what was to be read lay outside of it


def test_a_low_line_is_read() -> None:
    picture = Image.new("L", (160, 24), 255)
    ImageDraw.Draw(picture).text((4, 3), "666-41-7788", fill=0, font=ImageFont.load_default(15))
    with PictureHunter(Hunter((), MaskPolicy(kinds=ALL_KINDS))) as hunter:
        assert hunter.letters(picture).hits
