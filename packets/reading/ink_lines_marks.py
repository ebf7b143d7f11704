"""Marks of connected ink in a picture, found without reading any of them.

Works on runs of inked pixels in arrays: a page of print takes some hundredths
of a second, against a second and more for reading it.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from PIL import Image

Ints = npt.NDArray[np.int64]
Flags = npt.NDArray[np.bool_]

INK = 150
"""Ink is darker than this, on paper that was evened to white before."""


@dataclass(frozen=True)
class Marks:
    """Boxes around connected ink in pixels, origin upper left; one entry each per mark."""

    x0: Ints
    y0: Ints
    x1: Ints
    y1: Ints
    ink: Ints
    """How many of the pixels are ink."""

    def __len__(self) -> int:
        return len(self.x0)

    def only(self, chosen: Flags | Ints) -> "Marks":
        """Some of them."""
        return Marks(
            self.x0[chosen], self.y0[chosen], self.x1[chosen], self.y1[chosen], self.ink[chosen]
        )

    def joined(self, other: "Marks", left: int = 0, top: int = 0) -> "Marks":
        """These and others, the others moved by so many pixels."""
        return Marks(
            np.concatenate((self.x0, other.x0 + left)), np.concatenate((self.y0, other.y0 + top)),
            np.concatenate((self.x1, other.x1 + left)), np.concatenate((self.y1, other.y1 + top)),
            np.concatenate((self.ink, other.ink)),
        )  # fmt: skip


_NONE: Ints = np.zeros(0, dtype=np.int64)
NO_MARKS = Marks(_NONE, _NONE, _NONE, _NONE, _NONE)


def inked(grey: Image.Image, darker: int = INK) -> Flags:
    """Which pixels of a grey picture are ink, row by row."""
    tones = np.frombuffer(grey.tobytes(), dtype=np.uint8).reshape(grey.height, grey.width)
    return tones < darker


def marks_of(ink: Flags) -> Marks:
    """Connected ink; pixels that touch at a corner are connected."""
    starts, ends, width = runs_of(ink)
    if not len(starts):
        return NO_MARKS
    first = _first_runs(starts, ends, width)
    order = np.argsort(first, kind="stable")
    grouped = first[order]
    at = np.flatnonzero(np.concatenate(([True], grouped[1:] != grouped[:-1])))
    row = starts // width
    left, right, row = (starts - row * width)[order], (ends - row * width)[order], row[order]
    return Marks(
        np.minimum.reduceat(left, at),
        row[at],  # runs are in the order of their rows
        np.maximum.reduceat(right, at),
        np.maximum.reduceat(row, at) + 1,
        np.add.reduceat(right - left, at),
    )


def runs_of(ink: Flags) -> tuple[Ints, Ints, int]:
    """Starts and ends of the runs along the rows in one long row, and its width per row.

    Each row is followed by one empty pixel, so that no run goes on into the next.
    """
    height, width = ink.shape
    framed = np.zeros((height, width + 1), dtype=np.bool_)
    framed[:, :width] = ink
    line = framed.ravel()
    edges = np.flatnonzero(line[1:] != line[:-1]) + 1
    if len(line) and line[0]:
        edges = np.concatenate(([0], edges))
    return edges[0::2], edges[1::2], width + 1


def _first_runs(starts: Ints, ends: Ints, width: int) -> Ints:
    """For every run the first run of the mark that it belongs to.

    Runs that meet a run of the next row are joined to the earlier one of the
    two; roots are followed and joined again until nothing changes.
    """
    low = np.searchsorted(ends, starts + width, side="left")
    high = np.searchsorted(starts, ends + width, side="right")
    count = np.maximum(high - low, 0)
    upper = np.repeat(np.arange(len(starts)), count)
    lower = np.repeat(low - np.cumsum(count) + count, count) + np.arange(len(upper))
    root = np.arange(len(starts))
    while True:
        one, other = root[upper], root[lower]
        apart = one != other
        if not apart.any():
            return root
        upper, lower, one, other = upper[apart], lower[apart], one[apart], other[apart]
        np.minimum.at(root, np.maximum(one, other), np.minimum(one, other))
        while True:
            further = root[root]
            if np.array_equal(further, root):
                break
            root = further


def without_rules(ink: Flags, longest: int) -> Flags:
    """Without runs along rows or columns that are longer than any letter: rules and frames."""
    left = ink.copy()
    _clear_long_runs(ink, left, longest)
    columns = np.flatnonzero(_may_hold_rule(ink, longest))
    if len(columns):
        standing = np.ascontiguousarray(ink[:, columns].T)
        kept = standing.copy()
        _clear_long_runs(standing, kept, longest)
        left[:, columns] &= kept.T
    return left


def _may_hold_rule(ink: Flags, longest: int) -> Flags:
    """Which columns hold so many full blocks of rows on end that a rule may run there."""
    block = longest // 4
    rows = ink.shape[0] // block
    blocks = ink[: rows * block].reshape(rows, block, ink.shape[1])
    full: Flags = np.logical_and.reduce(blocks, axis=1)
    if rows < 3:
        return np.ones(ink.shape[1], dtype=np.bool_)
    return np.asarray((full[:-2] & full[1:-1] & full[2:]).any(axis=0))


def _clear_long_runs(ink: Flags, left: Flags, longest: int) -> None:
    starts, ends, width = runs_of(ink)
    long = ends - starts > longest
    for start, end in zip(starts[long].tolist(), ends[long].tolist(), strict=True):
        row = start // width
        left[row, start - row * width : end - row * width] = False
