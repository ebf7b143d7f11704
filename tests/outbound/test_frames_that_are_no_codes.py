"""A form's rules and ticks look like the frame of a matrix code; its blank cells do not."""

import random

import pytest
import zxingcpp
from PIL import Image

from packets.identifiers.kinds import MaskPolicy
from packets.outbound.hunting import Hunter
from packets.outbound.picture_hunt import PictureHunter
from packets.reading.barcodes import read_barcodes

CELLS, PIXELS = 24, 12


def framed(dark_share: float) -> Image.Image:
    """The finder pattern of ISO/IEC 16022 around cells of which so many are dark by chance."""
    draw = random.Random(1)
    picture = Image.new("L", ((CELLS + 8) * PIXELS,) * 2, 255)
    for row in range(CELLS):
        for column in range(CELLS):
            solid = column == 0 or row == CELLS - 1
            ticked = (row == 0 and column % 2 == 0) or (column == CELLS - 1 and row % 2 == 1)
            inside = 0 < row < CELLS - 1 and 0 < column < CELLS - 1
            if solid or ticked or (inside and draw.random() < dark_share):
                at = (column + 4) * PIXELS, (row + 4) * PIXELS
                picture.paste(0, (*at, at[0] + PIXELS, at[1] + PIXELS))
    return picture


@pytest.mark.parametrize(("dark_share", "is_code"), [(0.03, False), (0.5, True)])
def test_only_what_is_as_dark_as_a_code_holds_as_one_that_does_not_decode(dark_share, is_code):
    picture = framed(dark_share)
    errors = [code.error.type for code in zxingcpp.read_barcodes(picture, return_errors=True)]
    assert errors == [zxingcpp.ErrorType.Checksum], "the engine takes both for a code"
    hunter = PictureHunter(Hunter((), MaskPolicy()))
    assert hunter.bars(picture).undecoded is is_code
    assert bool(read_barcodes(picture, undecoded=True)) is is_code
