"""What PDFium draws for a character of a font, reduced to a few hundred points."""

import ctypes
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import pypdfium2.raw as pdfium_c
from PIL import Image, ImageChops, ImageDraw

from packets.outbound.pdfium_calls import (
    kind_of_segment,
    point_of_segment,
    segment_of_glyph,
    segments_of_glyph,
)

_ACROSS, _DOWN = 14, 18
_FINE = 4
"""Outlines are filled at so many times the size and then reduced."""
_EM = 1000.0
"""Size that is asked for; PDFium answers in parts of the em whatever it is."""
_LEAST = 0.001
_BENDS = 6
"""Straight pieces to a curve."""
_WEIGHTS = tuple(
    ((1 - t) ** 3, 3 * (1 - t) ** 2 * t, 3 * (1 - t) * t**2, t**3)
    for t in (step / _BENDS for step in range(1, _BENDS + 1))
)
_MOST_SEGMENTS = 2000
_LEAST_CELL, _CONTRAST = 4, 60
POINTS = _ACROSS * _DOWN
_PROPORTION = 1.7

_INKED = b"0" * 128 + b"1" * 128
"""Each tone as one of two digits."""

Contour = list[tuple[float, float]]


@dataclass(frozen=True)
class Outline:
    """A glyph filled to the edges of a small grid, and its width over its height."""

    points: int
    proportion: float

    def distance(self, other: "Outline") -> int:
        """How many points differ; all where one is much wider than the other."""
        one, two = self.proportion, other.proportion
        if one > _PROPORTION * two or two > _PROPORTION * one:
            return POINTS
        return (self.points ^ other.points).bit_count()


def outline_of(font: Any, char: str) -> Outline | None:
    """The glyph that a font draws for a character; None where it draws nothing."""
    path = pdfium_c.FPDFFont_GetGlyphPath(font, ord(char), _EM)
    if not path:
        return None
    contours = [contour for contour in _contours(path) if len(contour) > 2]
    xs = [x for contour in contours for x, _ in contour]
    ys = [y for contour in contours for _, y in contour]
    if not xs or min(max(ys) - min(ys), max(xs) - min(xs)) < _LEAST:
        return None
    left, bottom = min(xs), min(ys)
    width, height = max(xs) - left, max(ys) - bottom
    across, down = _ACROSS * _FINE, _DOWN * _FINE
    filled: Image.Image | None = None
    for contour in contours:
        one = Image.new("1", (across, down))
        placed = [((x - left) / width * across, down - (y - bottom) / height * down)
                  for x, y in contour]  # fmt: skip
        ImageDraw.Draw(one).polygon(placed, fill=1)
        filled = one if filled is None else ImageChops.logical_xor(filled, one)
    return Outline(_reduced(filled.convert("L")), width / height) if filled else None


def seen_outline(cell: Image.Image) -> Outline | None:
    """What stands out in a grey picture of one character's place; None where nothing does.

    What fills less of the place is taken for the ink.
    """
    if min(cell.size) < _LEAST_CELL:
        return None
    low, high = (int(edge) for edge in cell.getextrema())  # type: ignore[arg-type]  # one band
    if high - low < _CONTRAST:
        return None
    middle = (low + high) // 2
    ink = cell.point([255 if value < middle else 0 for value in range(256)])
    if 2 * ink.histogram()[255] > cell.width * cell.height:
        ink = ImageChops.invert(ink)
    box = ink.getbbox()
    if box is None:
        return None
    return Outline(_reduced(ink.crop(box)), (box[2] - box[0]) / (box[3] - box[1]))


def _reduced(filled: Image.Image) -> int:
    small = filled.resize((_ACROSS, _DOWN), Image.Resampling.BOX)
    return int(small.tobytes().translate(_INKED), 2)


def _contours(path: Any) -> Iterator[Contour]:
    """The closed lines of a path, curves in straight pieces."""
    contour: Contour = []
    control: Contour = []
    place = (ctypes.c_float * 2)()
    at = ctypes.addressof(place)
    for index in range(min(segments_of_glyph(path), _MOST_SEGMENTS)):
        segment = segment_of_glyph(path, index)
        point_of_segment(segment, at, at + ctypes.sizeof(ctypes.c_float))
        kind, point = kind_of_segment(segment), (place[0], place[1])
        if kind == pdfium_c.FPDF_SEGMENT_MOVETO:
            yield contour
            contour, control = [point], []
        elif kind == pdfium_c.FPDF_SEGMENT_BEZIERTO:
            control.append(point)
            if len(control) == 3 and contour:
                contour += _bent(contour[-1], *control)
                control = []
        else:
            contour.append(point)
    yield contour


def _bent(
    a: tuple[float, float], b: tuple[float, float], c: tuple[float, float], d: tuple[float, float]
) -> Contour:
    """The end points of the straight pieces of a Bezier curve (ISO 32000-2, 8.5.2.2)."""
    return [
        (p * a[0] + q * b[0] + r * c[0] + s * d[0], p * a[1] + q * b[1] + r * c[1] + s * d[1])
        for p, q, r, s in _WEIGHTS
    ]
