"""Ink that grey does not show: one colour on another as light, or tones close to the paper.

A person sees red figures on green, and any program sees figures of 250 on paper of 255;
in grey there is next to nothing. Block by block the differences between the colours are
asked for contrast that the grey picture lacks, and, on paper without any noise, the tones.
Where there is some, that place is drawn anew in black and white, each block from what
shows most. On paper with noise, tones so close to it are read by nobody.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from packets.reading.ink_lines_sheet import sheet_of
from packets.reading.ink_lines_spots import digit_spots

Tones = NDArray[np.int16]

_HALF = 2
"""The picture is looked at in half its size."""
_BLOCK = 6
"""Side of a block in pixels of that: about the stroke and the gap of a small figure."""
_SHOWN = 0.45
"""Share of the contrast of the page's print, in grey, from which on print is read in any case."""
_LEAST_SHOWN = 24
_LEAST, _LEAST_COLOUR = 3, 40
"""Contrast of tones, and of one colour against another, that counts."""
_FLAT = 1
"""Contrast of a usual block of bare paper up to which it has no noise."""
_PAPER = 0.4
"""Share of a block that bare paper covers beside print."""
_LEAST_BLOCKS = 5
"""Fewer blocks in a row hold no number."""
_LEAST_DIGITS = 7
_MOST_BLOCKS = 0.5
"""Share of all blocks; where more is faint, it is the paper that is so."""


def faint_layer(picture: Image.Image) -> Image.Image | None:
    """The faint ink of a grey or RGB picture, dark on white and of its size; None: there is none.

    What grey shows plainly is white in it.
    """
    half = picture.reduce(_HALF)
    rows, columns = half.height // _BLOCK, half.width // _BLOCK
    if rows < 3 or columns < _LEAST_BLOCKS:
        return None
    grey = _plane(np.asarray(half.convert("L"), dtype=np.int16), _LEAST)
    shown = _around(grey.contrast) >= max(
        _LEAST_SHOWN, _SHOWN * float(np.percentile(grey.contrast, 98))
    )
    if np.all(shown):
        return None
    planes = list(_colours(half)) if half.mode != "L" else []
    if np.median(grey.contrast[~shown]) <= _FLAT:
        planes.insert(0, grey)
    if not _has_row(_any([plane.contrast >= plane.least for plane in planes], shown)):
        return None  # before the dearer look
    faint = _any([(plane.contrast >= plane.least) & _is_flat(plane) for plane in planes], shown)
    if not _has_row(faint) or faint.mean() > _MOST_BLOCKS:
        return None
    layer = Image.new("L", half.size, 255)
    spread = _spread(planes, _around(faint.astype(np.int16)).astype(bool))
    layer.paste(Image.fromarray(spread), (0, 0))
    layer = layer.resize(picture.size, Image.Resampling.BICUBIC)
    return layer if _may_hold_digits(layer) else None


def _colours(half: Image.Image) -> "Iterator[_Plane]":
    """What red and blue have beyond green."""
    bands = half.convert("RGB").split()
    red, green, blue = (np.asarray(band, dtype=np.int16) for band in bands)
    yield _plane(red - green, _LEAST_COLOUR)
    yield _plane(blue - green, _LEAST_COLOUR)


def _any(flags: list[NDArray[np.bool_]], shown: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Blocks that one of the planes marks and grey does not show."""
    return np.asarray(np.any(flags, axis=0) & ~shown) if flags else np.zeros_like(shown)


def _may_hold_digits(layer: Image.Image) -> bool:
    """Whether marks of one height stand in a row, as the digits of a number do, either way up."""
    for turned in (layer, layer.transpose(Image.Transpose.ROTATE_90)):
        sheet = sheet_of(turned, 0.0)
        if sheet is None:
            return True
        if not (sheet.rough or sheet.empty) and any(
            len(spot.marks) >= _LEAST_DIGITS for spot in digit_spots(sheet.rows)
        ):
            return True
    return False


@dataclass(frozen=True)
class _Plane:
    """One way to see a picture: its tones, or one colour against another."""

    blocks: Tones
    """By row of blocks, row in the block, column of blocks, column in the block."""
    low: Tones
    high: Tones
    """Of each block."""
    least: int
    """Contrast that counts."""

    @property
    def contrast(self) -> Tones:
        """Between the lightest and the darkest pixel of each block."""
        return np.asarray(self.high - self.low)

    def about(self) -> tuple[Tones, Tones]:
        """The lowest and the highest value of each block and the eight around it."""
        return np.asarray(-_around(-self.low)), _around(self.high)


def _plane(values: Tones, least: int) -> _Plane:
    rows, columns = values.shape[0] // _BLOCK, values.shape[1] // _BLOCK
    part = np.ascontiguousarray(values[: rows * _BLOCK, : columns * _BLOCK])
    bands = part.reshape(rows, _BLOCK, columns * _BLOCK)
    low, high = bands.min(axis=1), bands.max(axis=1)  # whole rows first: much faster
    shape = (rows, columns, _BLOCK)
    return _Plane(
        part.reshape(rows, _BLOCK, columns, _BLOCK),
        low.reshape(shape).min(axis=2),
        high.reshape(shape).max(axis=2),
        least,
    )


def _is_flat(plane: _Plane) -> NDArray[np.bool_]:
    """Whether much of each block and of those around it has one tone: paper, and no shadow."""
    low, high = plane.about()
    near = 1 + (high - low) // 8
    light = _share(plane.blocks >= (high - near)[:, None, :, None])
    dark = _share(plane.blocks <= (low + near)[:, None, :, None])
    return np.asarray(np.maximum(light, dark) >= _PAPER)


def _share(flags: NDArray[np.bool_]) -> NDArray[np.float64]:
    """Of each block's pixels."""
    across = flags.sum(axis=1, dtype=np.uint8)
    return np.asarray(across.sum(axis=2, dtype=np.uint16) / (_BLOCK * _BLOCK))


def _around(values: Tones) -> Tones:
    """The largest of each block and the eight around it."""
    wide = np.pad(values, 1, mode="edge")
    height, width = values.shape
    shifted = [wide[y : y + height, x : x + width] for y in range(3) for x in range(3)]
    return np.asarray(np.max(np.stack(shifted), axis=0))


def _has_row(faint: NDArray[np.bool_]) -> bool:
    """Whether so many blocks stand in one row or column, one beside the other, that digits may."""
    for lines in (faint, faint.T):
        run = np.zeros(lines.shape[0], dtype=np.int32)
        for column in lines.T:
            run = np.where(column, run + 1, 0)
            if run.max() >= _LEAST_BLOCKS:
                return True
    return False


def _spread(planes: list[_Plane], near: NDArray[np.bool_]) -> NDArray[np.uint8]:
    """In each block the plane that shows most there and around, from black ink to white paper."""
    rows, columns = near.shape
    chosen = np.stack([_around(plane.contrast) for plane in planes]).argmax(axis=0)
    result = np.ones((rows, _BLOCK, columns, _BLOCK), dtype=np.float32)
    for number, plane in enumerate(planes):
        here = near & (chosen == number)
        if not here.any():
            continue
        low, high = plane.about()
        span = np.maximum(high - low, 1)[:, None, :, None]
        part = (plane.blocks - low[:, None, :, None]) / span
        result = np.where(here[:, None, :, None], part, result)
    weight = near.astype(np.float32)
    mean = _smoothed(result.mean(axis=(1, 3)) * weight) / np.maximum(_smoothed(weight), 0.01)
    light_ink = near & (mean < 0.5)
    result = np.where(light_ink[:, None, :, None], 1.0 - result, result)
    whole = result.reshape(rows * _BLOCK, columns * _BLOCK)
    return np.asarray(whole * 255, dtype=np.uint8)


def _smoothed(values: NDArray[np.float32]) -> NDArray[np.float32]:
    wide = np.pad(values, 2, mode="edge")
    height, width = values.shape
    shifted = [wide[y : y + height, x : x + width] for y in range(5) for x in range(5)]
    return np.asarray(np.mean(np.stack(shifted), axis=0))
