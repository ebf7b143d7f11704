"""Where an image goes in its room: as large as fits, on the line, never over print."""

from collections.abc import Iterator

import numpy as np
from PIL import Image

from packets.base.geometry import Box
from packets.signatures.page_look import SPECKS, Look, Pixels
from packets.signatures.records import Artwork

MARGIN = 2.0
"""Points between the left end of a room and what is drawn in it."""
SHRINKS = (1.0, 0.95, 0.9, 0.8, 0.7, 0.6, 0.5)
SLIDES = (0.0, 0.25, 0.5, 0.75, 1.0)
"""Shares of the spare length by which an image may move to the right."""
LIFTS = (0.0, 0.5, 1.0, 1.5, 2.5)
"""Points by which an image may rise from the line."""
INKED = 24
"""Alpha (0-255) from which a pixel of an image counts as ink."""
LEAST_SIDE = 2.0
"""Points; smaller, an image is not seen."""


def clear_place(artwork: Artwork, look: Look, room: Box) -> Box | str:
    """The box of an image on the upright page, undistorted and resting on the room's lower edge.

    Moved along the line, lifted a little or made smaller where print would lie under
    its ink. In words why not, where nothing helps.
    """
    margin = min(MARGIN, room.width / 20)
    scale = min((room.width - 2 * margin) / artwork.width, room.height / artwork.height)
    if min(artwork.width * scale, artwork.height * scale) < LEAST_SIDE:
        return "the room is too small for the image"
    alpha = Image.frombytes("RGBA", (artwork.width, artwork.height), artwork.rgba).getchannel("A")
    for shrink in SHRINKS:
        width, height = artwork.width * scale * shrink, artwork.height * scale * shrink
        if min(width, height) < LEAST_SIDE:
            break
        ink = _ink(alpha, width * look.per_point, height * look.per_point)
        for box in _places(room, margin, width, height):
            if not _under(ink, look, box):
                return box
    return "print stands where the image would go"


def clear_text(look: Look, box: Box) -> bool:
    """Whether nothing is printed where a text would stand."""
    return int(look.part(box).sum()) <= SPECKS


def _places(room: Box, margin: float, width: float, height: float) -> Iterator[Box]:
    spare = max(0.0, room.width - 2 * margin - width)
    for slide in SLIDES if spare > 1 else (0.0,):
        x0 = room.x0 + margin + slide * spare
        for lift in LIFTS:
            if height + lift <= room.height + 1e-6:
                foot = room.y1 - lift
                yield Box(x0, foot - height, x0 + width, foot)


def _ink(alpha: Image.Image, width: float, height: float) -> Pixels:
    size = (max(1, round(width)), max(1, round(height)))
    small = alpha.resize(size, Image.Resampling.BOX)
    return np.asarray(small) >= INKED


def _under(ink: Pixels, look: Look, box: Box) -> int:
    """Dark pixels of the page under the ink; beyond the page there are none."""
    height, width = ink.shape
    x0, y1 = round(box.x0 * look.per_point), round(box.y1 * look.per_point)
    y0 = y1 - height
    page_height, page_width = look.dark.shape
    left, top = max(0, -x0), max(0, -y0)
    right, foot = min(width, page_width - x0), min(height, page_height - y0)
    if right <= left or foot <= top:
        return 0
    print_there = look.dark[y0 + top : y0 + foot, x0 + left : x0 + right]
    return int((print_there & ink[top:foot, left:right]).sum())
