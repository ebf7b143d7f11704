"""Barcodes in a picture, decoded; and those that are there and do not decode."""

import math
from itertools import pairwise

import zxingcpp
from PIL import Image, ImageDraw

from packets.base.secret import Secret
from packets.reading.records import Barcode

Corners = tuple[tuple[float, float], ...]

_LEAST_SIDE = 8.0
_CROOKED, _UNEVEN = 0.35, 1.5
_LEAST_DARK = 0.2
"""Share of a code's place that is dark, or light, at the least."""


def read_barcodes(picture: Image.Image, *, undecoded: bool = False) -> tuple[Barcode, ...]:
    """Every barcode that decodes, in any direction; corners in pixels of `picture`.

    With `undecoded` also those whose place is certain and whose check sums fail:
    they have no content.
    """
    grey = picture if picture.mode == "L" else picture.convert("L")
    found = []
    for result in zxingcpp.read_barcodes(
        grey, try_rotate=True, try_downscale=True, return_errors=undecoded
    ):
        where = result.position
        corners = tuple(
            (float(corner.x), float(corner.y))
            for corner in (where.top_left, where.top_right, where.bottom_right, where.bottom_left)
        )
        if result.valid:
            raw = result.bytes.decode("latin-1", "replace")
            content = Secret(result.text if result.text else raw)
            found.append(Barcode(str(result.format), content, corners))
        elif _fails_its_sums(result) and _is_rectangle(corners) and _is_half_dark(grey, corners):
            found.append(Barcode(str(result.format), None, corners))
    return tuple(found)


def _fails_its_sums(result: zxingcpp.Barcode) -> bool:
    return result.error is not None and result.error.type == zxingcpp.ErrorType.Checksum


def _is_half_dark(grey: Image.Image, corners: Corners) -> bool:
    """Whether as much of the place is dark as of a code; of a form's frame far less is."""
    inside = Image.new("1", grey.size)
    ImageDraw.Draw(inside).polygon(list(corners), fill=1)
    seen = grey.histogram(inside)
    return _LEAST_DARK <= sum(seen[:128]) / max(sum(seen), 1) <= 1 - _LEAST_DARK


def _is_rectangle(corners: Corners) -> bool:
    """Rules and letters give corners, too; theirs make crooked figures."""
    sides = [(b[0] - a[0], b[1] - a[1]) for a, b in pairwise((*corners, corners[0]))]
    lengths = [math.hypot(*side) for side in sides]
    if min(lengths) < _LEAST_SIDE:
        return False
    level = all(
        max(lengths[k], lengths[k + 2]) <= _UNEVEN * min(lengths[k], lengths[k + 2]) for k in (0, 1)
    )
    return level and all(
        abs(one[0] * two[0] + one[1] * two[1]) <= _CROOKED * math.hypot(*one) * math.hypot(*two)
        for one, two in pairwise((*sides, sides[0]))
    )
