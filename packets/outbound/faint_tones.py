"""Print that differs from its paper in colour alone, or by a few tones, made plain to be read.

Works on steps from pixel to pixel: where colour steps and light hardly does, or where
light steps by little on a picture that is otherwise even, there may be print that
a grey picture does not show. Each band of such steps is redrawn in black and white.
"""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray
from PIL import Image

Plane = NDArray[np.int16]
Flags = NDArray[np.bool_]
Band = tuple[int, int, int, int]
"""First and last row, first and last column, the last ones excluded."""

_COLOUR_STEP, _LIGHT_STEP = 10, 3
_PLAIN_STEP = 0.35
"""Share of the largest step of light from which on print is plain."""
_LEAST_PLAIN = 16
_EVEN = 0.88
"""Share of steps that are none at all on a picture without noise."""
_PART, _EVEN_PART = 300_000, 0.6
"""Pixels up to which it is a part of a page, cut out close, and what is even there."""
_CLEAR = 9
"""Pixels around plain print that are passed over."""
_LEAST_STEPS = 60
_GAP, _LOW = 5, 5
"""Rows between bands, and of the lowest band."""
_STROKES, _IN_ROWS = 14, 4
"""A row through nine digits crosses so many strokes' edges, and so does each of several rows."""
_MOST_INK = 0.6


def faint_tones(picture: Image.Image) -> Image.Image | None:
    """The print of a grey or RGB picture that its grey form hides, black on white; None: none."""
    light = np.asarray(picture.convert("L"), dtype=np.int16)
    if min(light.shape) < 2 * _LOW:
        return None
    steps = _steps(light)
    plain = _widened(steps >= max(_LEAST_PLAIN, _PLAIN_STEP * int(steps.max())))
    layer = np.full(light.shape, 255, dtype=np.uint8)
    found = False
    for plane, hidden in _planes(picture, light, steps):
        for band in _bands(hidden & ~plain):
            found |= _redrawn(plane, band, layer)
    return Image.fromarray(layer) if found else None


def _planes(picture: Image.Image, light: Plane, steps: Plane) -> Iterator[tuple[Plane, Flags]]:
    """Each plane in which print may hide, with the places where it steps."""
    if picture.mode != "L":
        for band in picture.convert("RGB").convert("YCbCr").split()[1:]:
            colour = np.asarray(band, dtype=np.int16)
            yield colour, _steps(colour) >= _COLOUR_STEP
    even = float((steps == 0).mean())
    if even >= (_EVEN if light.size > _PART else _EVEN_PART):
        yield light, steps >= _LIGHT_STEP


def _steps(plane: Plane) -> Plane:
    """The larger of the steps to the right and downward."""
    across = np.abs(np.diff(plane, axis=1, append=plane[:, -1:]))
    down = np.abs(np.diff(plane, axis=0, append=plane[-1:, :]))
    return np.asarray(np.maximum(across, down))


def _widened(flags: Flags) -> Flags:
    wide = flags.copy()
    for by in range(1, _CLEAR + 1):
        wide[by:] |= flags[:-by]
        wide[:-by] |= flags[by:]
    high = wide.copy()
    for by in range(1, _CLEAR + 1):
        wide[:, by:] |= high[:, :-by]
        wide[:, :-by] |= high[:, by:]
    return wide


def _bands(hidden: Flags) -> Iterator[Band]:
    """Rows, or columns for print that runs downward, in which something hides."""
    if int(hidden.sum()) < _LEAST_STEPS:
        return
    for first, last in _stretches(np.any(hidden, axis=1)):
        columns = np.flatnonzero(hidden[first:last].any(axis=0))
        yield first, last, int(columns[0]), int(columns[-1]) + 1
    for first, last in _stretches(np.any(hidden, axis=0)):
        rows = np.flatnonzero(hidden[:, first:last].any(axis=1))
        yield int(rows[0]), int(rows[-1]) + 1, first, last


def _stretches(marked: Flags) -> Iterator[tuple[int, int]]:
    places = np.flatnonzero(marked)
    if not places.size:
        return
    breaks = np.flatnonzero(np.diff(places) > _GAP)
    starts = [0, *(int(at) + 1 for at in breaks)]
    ends = [*(int(at) for at in breaks), places.size - 1]
    for start, end in zip(starts, ends, strict=True):
        if places[end] - places[start] >= _LOW:
            yield max(0, int(places[start]) - 1), int(places[end]) + 2


def _redrawn(plane: Plane, band: Band, layer: NDArray[np.uint8]) -> bool:
    """Draw the print of a band into the layer, if it looks like a row of figures."""
    top, foot, left, right = band
    part = plane[top:foot, left:right]
    values, counts = np.unique(part, return_counts=True)
    away = np.abs(part - values[counts.argmax()])
    ink = away * 2 > away.max()
    if not _LEAST_STEPS / part.size < float(ink.mean()) < _MOST_INK or not _like_figures(ink):
        return False
    margin = 4
    y0, x0 = max(0, top - margin), max(0, left - margin)
    layer[y0 : foot + margin, x0 : right + margin] = 255
    layer[top:foot, left:right] = np.where(ink, 0, 255)
    return True


def _like_figures(ink: Flags) -> bool:
    """Whether several rows, or columns, cross as many strokes as a number has."""
    return any(
        int((np.count_nonzero(np.diff(lines.astype(np.int8), axis=1), axis=1) >= _STROKES).sum())
        >= _IN_ROWS
        for lines in (ink, ink.T)
    )
