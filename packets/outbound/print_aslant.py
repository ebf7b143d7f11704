"""Print of a picture that lies aslant, cut out and turned level to be read.

Recognition of whole pages bears a few degrees; a slip laid askew, or a page
scanned so, it passes over in silence.
"""

from collections.abc import Iterator

from PIL import Image

from packets.identifiers.slanting_rows import slanting_print
from packets.outbound.picture_marks import marks_in

_LEAST_SIDE = 80
_WIDEST = 2.5
_LEAST_SLANT = 4.5
"""Degrees that recognition does not bear."""
_MARGIN, _LEAST_MARGIN = 10.0, 24
"""Around the print, in sizes of its marks and in pixels: a label may stand there."""
_MOST = 12


def turned_level(grey: Image.Image) -> Iterator[Image.Image]:
    """Each piece of slanting print in a grey picture, level, on white."""
    if min(grey.size) < _LEAST_SIDE:
        return
    marks = marks_in(grey)
    if marks is None:
        return
    boxes = marks.boxes
    high = boxes[:, 3] - boxes[:, 1]
    narrow = boxes[boxes[:, 2] - boxes[:, 0] <= _WIDEST * high]
    for piece in slanting_print(narrow, least=_LEAST_SLANT)[:_MOST]:
        margin = max(_LEAST_MARGIN, int(_MARGIN * piece.size))
        left, top, right, foot = (int(edge) for edge in piece.box)
        size = right - left + 2 * margin, foot - top + 2 * margin
        sheet = Image.new("L", size, 255)
        corner = max(0, left - margin), max(0, top - margin)
        part = grey.crop(
            (*corner, min(grey.width, right + margin), min(grey.height, foot + margin))
        )
        sheet.paste(part, (corner[0] - left + margin, corner[1] - top + margin))
        yield sheet.rotate(piece.degrees, Image.Resampling.BICUBIC, expand=True, fillcolor=255)
