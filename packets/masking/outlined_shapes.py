"""What a glyph looks like, compared with the letters and digits of standard faces.

Coarse on purpose: it only has to tell that a glyph which a font calls one thing
is drawn as a digit. What such a page says is then read by character recognition.
"""

from dataclasses import dataclass
from functools import cache
from typing import cast

import pymupdf
from PIL import Image, ImageChops

from packets.reading.unexplained_rows import Box

_ACROSS, _DOWN = 12, 16
_FACES = ("helv", "hebo", "tiro", "tibo", "cour", "cobo")
_CHARACTERS = (
    "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz!\"#$%&'()*+,-./:;<=>?@[]"
)
_CELL, _SIZE = 30.0, 20.0
_SCALE = 2.0
_LIKE = 40
"""Of 192 points so many may differ between a digit and the same digit of another face."""
_CLEARLY = 10
"""By so many points the digit must fit better than what the font calls it."""
_PROPORTION = 1.7
_CONTRAST = 60
_HALF, _NEAR_HALF = 128, 8


@dataclass(frozen=True, slots=True)
class GlyphShape:
    """A glyph in 12 x 16 points, and its width over its height."""

    bits: int
    proportion: float

    def distance(self, other: "GlyphShape") -> int:
        """How many points differ; all of them where one is much wider than the other."""
        low, high = sorted((self.proportion, other.proportion))
        if high > _PROPORTION * low:
            return _ACROSS * _DOWN
        return (self.bits ^ other.bits).bit_count()


def glyph_shape(picture: Image.Image, box: Box, *, dark_on_light: bool = True) -> GlyphShape | None:
    """The ink in a box of a grey picture; None where nothing stands out.

    Unless it is known to be `dark_on_light`, what fills less of the box is the ink.
    """
    crop = picture.crop((int(box[0]), int(box[1]), int(box[2]) + 1, int(box[3]) + 1))
    low, high = cast("tuple[int, int]", crop.getextrema())
    if high - low < _CONTRAST:
        return None
    middle = (low + high) // 2
    if dark_on_light or 2 * sum(crop.histogram()[:middle]) <= crop.width * crop.height:
        return light_shape(ImageChops.invert(crop), 255 - middle)
    return light_shape(crop, middle)


def light_shape(crop: Image.Image, middle: int = _HALF) -> GlyphShape | None:
    """The shape of light ink on dark; lighter than `middle` is ink."""
    if abs(middle - _HALF) > _NEAR_HALF:
        black = Image.new("L", crop.size, 0)
        crop = ImageChops.add(crop, black, 1.0, _HALF - middle)
    ink = _halved(crop)
    bounds = ink.getbbox()
    if bounds is None:
        return None
    small = ink.crop(bounds).convert("L").resize((_ACROSS, _DOWN), Image.Resampling.BOX)
    bits = int.from_bytes(_halved(small).tobytes())
    return GlyphShape(bits, (bounds[2] - bounds[0]) / (bounds[3] - bounds[1]))


def _halved(grey: Image.Image) -> Image.Image:
    return grey.convert("1", dither=Image.Dither.NONE)


def is_hidden_digit(shape: GlyphShape, name: str) -> bool:
    """Whether a glyph is drawn as a digit that is not the character it is called."""
    known = standard_shapes().get(name, ())
    called = min((shape.distance(own) for own in known), default=_ACROSS * _DOWN)
    limit = min(_LIKE, called - _CLEARLY - 1)
    return limit >= 0 and any(
        (shape.bits ^ bits).bit_count() <= limit
        and low <= shape.proportion <= high
        and digit != name
        for digit, bits, low, high in _digit_shapes()
    )


@cache
def _digit_shapes() -> tuple[tuple[str, int, float, float], ...]:
    """The digits of standard faces with the proportions that are still alike."""
    return tuple(
        (digit, own.bits, own.proportion / _PROPORTION, own.proportion * _PROPORTION)
        for digit in "0123456789"
        for own in standard_shapes()[digit]
    )


@cache
def standard_shapes() -> dict[str, tuple[GlyphShape, ...]]:
    """Letters, digits and marks, each as six standard faces draw it."""
    document = pymupdf.open()
    try:
        page = document.new_page(width=_CELL * len(_CHARACTERS), height=_CELL * (len(_FACES) + 1))
        for row, face in enumerate(_FACES, start=1):
            for column, char in enumerate(_CHARACTERS):
                page.insert_text(
                    (column * _CELL + 5, row * _CELL), char, fontsize=_SIZE, fontname=face
                )
        pixels = page.get_pixmap(
            matrix=pymupdf.Matrix(_SCALE, _SCALE), colorspace=pymupdf.csGRAY, alpha=False
        )
        sheet = Image.frombytes("L", (pixels.width, pixels.height), pixels.samples)
    finally:
        document.close()
    shapes = {}
    for column, char in enumerate(_CHARACTERS):
        left = column * _CELL * _SCALE
        boxes = (
            (
                left,
                (row * _CELL - 20) * _SCALE,
                left + _CELL * _SCALE - 1,
                (row * _CELL + 8) * _SCALE,
            )
            for row in range(1, len(_FACES) + 1)
        )
        found = (glyph_shape(sheet, box) for box in boxes)
        shapes[char] = tuple(shape for shape in found if shape is not None)
    return shapes
