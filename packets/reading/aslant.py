"""Parts of a picture whose print lies aslant to the rest, each cut out and levelled."""

from collections.abc import Iterator

import numpy as np
from PIL import Image

from packets.identifiers.slanting_rows import Boxes, SlantingPrint, slanting_print
from packets.reading.ink_lines_marks import inked, marks_of

_LOW, _HIGH, _WIDE = 7, 90, 2.5
"""Heights of type in pixels, and its width in heights."""
_TIGHT, _WIDE_CUT = 2.5, 12.0
"""Sizes of a mark by which more is cut out: little, for other print lies aslant to this; and
more, for the words beside and above a number."""
_MOST_PIECES = 12


def parts_aslant(even: Image.Image, level: float) -> Iterator[Image.Image]:
    """Print that does not lie as the page does, cut out and turned until it does.

    Each piece comes close by itself, either way up (so few marks do not tell), and
    with what is around it. `level` is how many degrees the page's own lines fall to
    the right.
    """
    for piece in slanting_print(_type_in(even), level)[:_MOST_PIECES]:
        close = _levelled(even, piece, _TIGHT)
        yield close
        yield close.transpose(Image.Transpose.ROTATE_180)
        yield _levelled(even, piece, _WIDE_CUT)


def _levelled(even: Image.Image, piece: SlantingPrint, sizes: float) -> Image.Image:
    by = sizes * piece.size
    x0, y0, x1, y1 = piece.box
    part = even.crop((int(x0 - by), int(y0 - by), int(x1 + by), int(y1 + by)))
    return part.rotate(piece.degrees, resample=Image.Resampling.BICUBIC, expand=True, fillcolor=255)


def _type_in(even: Image.Image) -> Boxes:
    marks = marks_of(inked(even))
    wide, high = marks.x1 - marks.x0, marks.y1 - marks.y0
    is_type = (high >= _LOW) & (high <= _HIGH) & (wide <= _WIDE * high)
    return np.stack((marks.x0, marks.y0, marks.x1, marks.y1), axis=1)[is_type]
