"""Boxes in a picture before and after its lines were levelled."""

import math

PixelBox = tuple[float, float, float, float]


def on_slant(box: PixelBox, size: tuple[int, int], degrees: float) -> PixelBox:
    """A box in the levelled picture as the box around it in the picture before levelling."""
    if not degrees:
        return box
    x, y = _turned(box, size, degrees)
    wide, high = (box[2] - box[0]) / 2, (box[3] - box[1]) / 2
    cos, sin = _parts(degrees)
    half_x, half_y = wide * cos + high * sin, high * cos + wide * sin
    return x - half_x, y - half_y, x + half_x, y + half_y


def off_slant(box: PixelBox, size: tuple[int, int], degrees: float) -> PixelBox:
    """The box in the levelled picture around which `on_slant` gave this one."""
    if not degrees:
        return box
    x, y = _turned(box, size, -degrees)
    wide, high = (box[2] - box[0]) / 2, (box[3] - box[1]) / 2
    cos, sin = _parts(degrees)
    whole = cos * cos - sin * sin
    half_x, half_y = (wide * cos - high * sin) / whole, (high * cos - wide * sin) / whole
    return x - half_x, y - half_y, x + half_x, y + half_y


def _turned(box: PixelBox, size: tuple[int, int], degrees: float) -> tuple[float, float]:
    """The middle of a box after a clockwise turn about the middle of the picture."""
    turn = math.radians(degrees)
    mid_x, mid_y = size[0] / 2, size[1] / 2
    dx, dy = (box[0] + box[2]) / 2 - mid_x, (box[1] + box[3]) / 2 - mid_y
    return (
        mid_x + dx * math.cos(turn) - dy * math.sin(turn),
        mid_y + dx * math.sin(turn) + dy * math.cos(turn),
    )


def _parts(degrees: float) -> tuple[float, float]:
    turn = math.radians(abs(degrees))
    return math.cos(turn), math.sin(turn)
