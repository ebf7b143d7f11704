"""Ink that grey does not show: one colour on another as light, or tones close to the paper.

A person sees red figures on green, and any program sees figures of 250 on paper of 255;
in grey there is next to nothing. Block by block the differences between the colours are
asked for contrast that the grey picture lacks, and, on paper without any noise, the tones.
Where there is some, that place is drawn anew in black and white, each block from what
shows most. On paper with noise, tones so close to it are read by nobody.
"""

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
    grey = np.asarray(half.convert("L"), dtype=np.int16)
    rows, columns = grey.shape[0] // _BLOCK, grey.shape[1] // _BLOCK
    if rows < 3 or columns < _LEAST_BLOCKS:
        return None
    in_grey = _contrast(grey, rows, columns)
    shown = _around(in_grey) >= max(_LEAST_SHOWN, _SHOWN * float(np.percentile(in_grey, 98)))
    if np.all(shown):
        return None
    channels, floors = [], []
    if np.median(in_grey[~shown]) <= _FLAT:
        channels, floors = [grey], [_LEAST]
    if half.mode != "L":
        red, green, blue = (
            np.asarray(band, dtype=np.int16) for band in half.convert("RGB").split()
        )
        channels += [red - green, blue - green]
        floors += [_LEAST_COLOUR] * 2
    if not channels:
        return None
    contrasts = np.stack([_contrast(channel, rows, columns) for channel in channels])
    enough = [
        (contrast >= floor) & _is_flat(channel, rows, columns)
        for contrast, floor, channel in zip(contrasts, floors, channels, strict=True)
    ]
    faint = np.any(enough, axis=0) & ~shown
    if not _has_row(faint) or faint.mean() > _MOST_BLOCKS:
        return None
    near = _around(faint.astype(np.int16)).astype(bool)
    spread = _spread(channels, contrasts, near)
    layer = Image.new("L", half.size, 255)
    layer.paste(Image.fromarray(spread), (0, 0))
    layer = layer.resize(picture.size, Image.Resampling.BICUBIC)
    return layer if _may_hold_digits(layer) else None


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


def _blocks(channel: Tones, rows: int, columns: int) -> Tones:
    part = channel[: rows * _BLOCK, : columns * _BLOCK]
    return part.reshape(rows, _BLOCK, columns, _BLOCK)


def _edges(channel: Tones, rows: int, columns: int) -> tuple[Tones, Tones]:
    """The lowest and the highest value of each block."""
    part = np.ascontiguousarray(channel[: rows * _BLOCK, : columns * _BLOCK])
    bands = part.reshape(rows, _BLOCK, columns * _BLOCK)
    low, high = bands.min(axis=1), bands.max(axis=1)  # whole rows first: much faster
    shape = (rows, columns, _BLOCK)
    return low.reshape(shape).min(axis=2), high.reshape(shape).max(axis=2)


def _contrast(channel: Tones, rows: int, columns: int) -> Tones:
    """Between the lightest and the darkest pixel of each block."""
    low, high = _edges(channel, rows, columns)
    return np.asarray(high - low)


def _is_flat(channel: Tones, rows: int, columns: int) -> NDArray[np.bool_]:
    """Whether much of each block and of those around it has one tone: paper, and no shadow."""
    low, high = _edges(channel, rows, columns)
    low, high = -_around(-low), _around(high)
    near = 1 + (high - low) // 8
    blocks = _blocks(channel, rows, columns)
    light = _share(blocks >= (high - near)[:, None, :, None])
    dark = _share(blocks <= (low + near)[:, None, :, None])
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


def _spread(channels: list[Tones], contrasts: NDArray[np.int16], near: NDArray[np.bool_]) -> Tones:
    """In each block the channel that shows most there and around, from black ink to white paper."""
    rows, columns = near.shape
    chosen = np.stack([_around(one) for one in contrasts]).argmax(axis=0)
    result = np.ones((rows, _BLOCK, columns, _BLOCK), dtype=np.float32)
    for number, channel in enumerate(channels):
        here = near & (chosen == number)
        if not here.any():
            continue
        blocks = _blocks(channel, rows, columns)
        low, high = _edges(channel, rows, columns)
        low, high = -_around(-low), _around(high)
        span = np.maximum(high - low, 1)[:, None, :, None]
        part = (blocks - low[:, None, :, None]) / span
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
