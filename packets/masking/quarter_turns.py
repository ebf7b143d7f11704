"""Boxes and pictures between how the page shows them and how OCR read them best."""

from PIL import Image

from packets.masking.pixel_boxes import PixelBox

Size = tuple[float, float]

_TURNS = (
    None, Image.Transpose.ROTATE_90, Image.Transpose.ROTATE_180, Image.Transpose.ROTATE_270,
)  # fmt: skip


def turned(picture: Image.Image, quarter_turns: int) -> Image.Image:
    """The picture after counter-clockwise quarter turns; itself after none."""
    turn = _TURNS[quarter_turns % 4]
    return picture if turn is None else picture.transpose(turn)


def turned_box(box: PixelBox, quarter_turns: int, size: Size) -> PixelBox:
    """Where a box lies after the picture of that size was turned counter-clockwise."""
    for _ in range(quarter_turns % 4):
        x0, y0, x1, y1 = box
        box = y0, size[0] - x1, y1, size[0] - x0
        size = size[1], size[0]
    return box


def turned_size(size: Size, quarter_turns: int) -> Size:
    """Width and height after quarter turns."""
    return (size[1], size[0]) if quarter_turns % 2 else size
