"""What PDFium tells of one drawn object: its box, its clip, how it lies; and heaps of specks."""

import ctypes
from typing import Any

import pypdfium2.raw as pdfium_c

from packets.outbound.pdfium_calls import (
    box_of,
    clip_of,
    matrix_of,
    paths_of_clip,
    segments_of_clip,
)

Bounds = tuple[float, float, float, float]
"""Left, bottom, right, top in the frame of the page or form, in points, y upward."""

SPECK_HEIGHT = 2.0
SPECK_LENGTH = 24.0
"""Sides in points up to which a rectangle can be a row of dots of a letter."""
_HEAP = 8
"""So many specks that touch may be a letter; the four sides of a check box are none."""
_TOUCH = 0.3
_CLIP_SEGMENTS = 24
"""A clip with this many segments may have the outline of a number."""
_FLOAT = ctypes.sizeof(ctypes.c_float)
_Edges = ctypes.c_float * 4


def bounds_of(item: Any) -> Bounds:
    """Box of a page object, in the frame of the page or form that holds it."""
    edges = _Edges()
    at = ctypes.addressof(edges)
    if not box_of(item, at, at + _FLOAT, at + 2 * _FLOAT, at + 3 * _FLOAT):
        return (0.0, 0.0, 0.0, 0.0)
    return tuple(edges)


def mirrors(item: Any) -> bool:
    """Whether the matrix of a picture or form turns left and right about."""
    matrix = pdfium_c.FS_MATRIX()
    if not matrix_of(item, ctypes.byref(matrix)):
        return False
    return bool(matrix.a * matrix.d - matrix.b * matrix.c < 0)


def is_clipped_by_a_drawing(item: Any) -> bool:
    """Whether an object shows only through an outline that is more than a box."""
    clip = clip_of(item)
    if not clip:
        return False
    paths = max(0, paths_of_clip(clip))
    return any(segments_of_clip(clip, index) >= _CLIP_SEGMENTS for index in range(paths))


def heaps(specks: list[Bounds]) -> list[Bounds]:
    """Boxes around specks that touch one another, where there are enough of them."""
    done: list[tuple[Bounds, int]] = []
    open_heaps: list[tuple[Bounds, int]] = []
    for speck in sorted(specks, key=lambda box: box[1]):
        merged, count = speck, 1
        waiting: list[tuple[Bounds, int]] = []
        for heap in open_heaps:
            if heap[0][3] + _TOUCH < speck[1]:
                done.append(heap)
            elif heap[0][0] - _TOUCH <= speck[2] and speck[0] <= heap[0][2] + _TOUCH:
                merged, count = _around(merged, heap[0]), count + heap[1]
            else:
                waiting.append(heap)
        open_heaps = [*waiting, (merged, count)]
    return [box for box, count in [*done, *open_heaps] if count >= _HEAP]


def _around(one: Bounds, other: Bounds) -> Bounds:
    return (
        min(one[0], other[0]),
        min(one[1], other[1]),
        max(one[2], other[2]),
        max(one[3], other[3]),
    )
