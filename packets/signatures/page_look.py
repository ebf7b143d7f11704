"""A page as pixels: where it is dark, where rules run, where there is room."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pymupdf

from packets.base.geometry import Box
from packets.signatures.upright import Upright

PER_POINT = 3.0
"""Pixels to a point: a hair line of a quarter point still shows."""
LONGEST = 6000
DARK = 185
"""Grey levels (0-255) under this are print: a hair line over two rows of pixels still is, tinted
grounds of forms are lighter."""
SPECKS = 2
"""Dark pixels in a row of pixels that a scanner leaves on clean paper."""
SOLID = 0.85
"""Share of dark pixels by which a column or row is a rule."""

Pixels = npt.NDArray[np.bool_]


@dataclass(frozen=True)
class Look:
    """Which pixels of the upright page are dark; boxes are in its points."""

    dark: Pixels
    per_point: float

    def part(self, box: Box) -> Pixels:
        """The pixels of a box; outside of the page there are none."""
        height, width = self.dark.shape
        x0, x1 = (_within(x * self.per_point, width) for x in (box.x0, box.x1))
        y0, y1 = (_within(y * self.per_point, height) for y in (box.y0, box.y1))
        return self.dark[y0:y1, x0:x1]

    def blank(self, box: Box) -> bool:
        """Whether nothing is printed in a box that lies on the page."""
        part = self.part(box)
        return part.size > 0 and int(part.sum()) <= SPECKS

    def free_above(self, x0: float, x1: float, foot: float, most: float) -> float:
        """How many points upward from `foot` nothing is printed between x0 and x1."""
        part = self.part(Box(x0, foot - most, x1, foot))
        inked = np.flatnonzero(part.sum(axis=1) > SPECKS)
        rows = part.shape[0] - 1 - int(inked[-1]) if inked.size else part.shape[0]
        return float(rows / self.per_point)

    def border_right_of(self, x0: float, x1: float, top: float, foot: float) -> float | None:
        """Where the first upright rule between x0 and x1 stands."""
        part = self.part(Box(x0, top, x1, foot))
        if not part.size:
            return None
        solid = np.flatnonzero(part.mean(axis=0) >= SOLID)
        return x0 + int(solid[0]) / self.per_point if solid.size else None

    def rules(self, area: Box, least: float) -> list[Box]:
        """Horizontal rules in an area that are at least so long, from top to bottom.

        Rows that touch are one rule; a scan may lean by a pixel or two.
        """
        part = self.part(area)
        if not part.size:
            return []
        leaning = part.copy()
        leaning[1:] |= part[:-1]
        found: list[Box] = []
        for row in range(part.shape[0]):
            run = _longest_run(leaning[row])
            if run is None or (run[1] - run[0]) / self.per_point < least:
                continue
            y = area.y0 + row / self.per_point
            box = Box(
                area.x0 + run[0] / self.per_point,
                y - 1 / self.per_point if row else y,
                area.x0 + run[1] / self.per_point,
                y + 1 / self.per_point,
            )
            if found and box.y0 <= found[-1].y1:
                found[-1] = found[-1].joined(box)
            else:
                found.append(box)
        return found


def look_at(page: pymupdf.Page, upright: Upright, *, fields: bool = True) -> Look:
    """The page drawn in grey and turned upright; without `fields`, annotations are left away."""
    per_point = min(PER_POINT, LONGEST / max(upright.width, upright.height, 1.0))
    pixels = page.get_pixmap(
        matrix=pymupdf.Matrix(per_point, per_point),
        colorspace=pymupdf.csGRAY,
        alpha=False,
        annots=fields,
    )
    grey = np.frombuffer(pixels.samples, dtype=np.uint8).reshape(pixels.height, pixels.stride)
    shown = grey[:, : pixels.width] < DARK
    return Look(np.rot90(shown, upright.turn // 90), per_point)


def _within(value: float, most: int) -> int:
    return min(most, max(0, round(value)))


def _longest_run(row: Pixels) -> tuple[int, int] | None:
    """First and last-but-one index of the longest run of dark pixels; gaps of two are bridged."""
    dark = np.flatnonzero(row)
    if not dark.size:
        return None
    breaks = np.flatnonzero(np.diff(dark) > 3)
    starts = np.concatenate(([0], breaks + 1))
    ends = np.concatenate((breaks, [dark.size - 1]))
    lengths = dark[ends] - dark[starts]
    best = int(lengths.argmax())
    first, last = int(dark[starts[best]]), int(dark[ends[best]]) + 1
    filled = int(row[first:last].sum()) / (last - first)
    return (first, last) if filled >= SOLID else None
