"""Whether marks on a picture have the shape of digits, by a very small neural network.

It knows nothing of rows, heights or neighbours: another way to look than that
of the part which masked. Its weights are made by tests/training/train_digit_shapes.py
from glyphs of common faces; it is asked for likeness only, never for the digit.
"""

from functools import cache
from importlib.resources import files

import numpy as np
import numpy.typing as npt

ROWS, COLUMNS = 12, 10
_FINER = 2
_WEIGHTS = "digit_shapes.npz"

Floats = npt.NDArray[np.float32]
Ints = npt.NDArray[np.int64]


def features_of(tones: npt.NDArray[np.uint8], boxes: Ints) -> Floats:
    """The darkness of each mark on a grid over its box, and its width against its height.

    `boxes`: x0, y0, x1, y1 in pixels, one row for each mark.
    """
    x0, y0, x1, y1 = (boxes[:, side : side + 1] for side in range(4))
    across = (np.arange(COLUMNS * _FINER) + 0.5) / (COLUMNS * _FINER)
    down = (np.arange(ROWS * _FINER) + 0.5) / (ROWS * _FINER)
    columns = (x0 + across * (x1 - x0)).astype(np.int64)
    rows = (y0 + down * (y1 - y0)).astype(np.int64)
    dark = 255 - tones[rows[:, :, None], columns[:, None, :]].astype(np.float32)
    grid = dark.reshape(len(boxes), ROWS, _FINER, COLUMNS, _FINER).mean(axis=(2, 4))
    grid = grid.reshape(len(boxes), ROWS * COLUMNS)
    grid /= np.maximum(grid.max(axis=1, keepdims=True), 1.0)
    shape = np.minimum((x1 - x0) / np.maximum(y1 - y0, 1), 3.0).astype(np.float32)
    return np.concatenate((grid, shape), axis=1)


def digit_likeness(tones: npt.NDArray[np.uint8], boxes: Ints) -> Floats:
    """For each mark how much it looks like a digit, from 0 to 1."""
    if not len(boxes):
        return np.zeros(0, dtype=np.float32)
    inner, inner_bias, outer, outer_bias = _weights()
    hidden = np.maximum(features_of(tones, boxes) @ inner + inner_bias, 0)
    likeness: Floats = 1 / (1 + np.exp(-(hidden @ outer + outer_bias)))
    return likeness


@cache
def _weights() -> tuple[Floats, Floats, Floats, Floats]:
    with (files(__package__) / _WEIGHTS).open("rb") as stored, np.load(stored) as arrays:
        first, second, third, fourth = (
            arrays[name].astype(np.float32) for name in sorted(arrays.files)
        )
    return first, second, third, fourth
