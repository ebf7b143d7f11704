"""Make a scan fit to be read: even paper, level lines, no specks.

The measures are taken on
small copies, so that a clean page pays a few hundredths of a second.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from PIL import Image, ImageChops, ImageFilter, ImageOps, ImageStat

from packets.reading.slant import on_slant

_SMALL_SIDE = 440
"""Longest side in pixels of the copy on which skew is measured: some 40 dpi of a letter page."""
_PAPER_SIDE = 240
"""Longest side of the copy that shows the paper without the print."""
_EVEN = 24
"""Spread of the paper's lightness from which on it is evened out."""
_DARK, _DARK_SHARE = 110, 0.002
"""Tone below which paper is dark, and the share of a page that may be so."""
_MOST_SKEW = 4
_FINEST = 0.125
_CLEARLY = 1.25
"""How much sharper the columns must be than the rows for a picture to lie on its side."""
_LINED = 130.0
"""Sharpness of the rows against the amount of ink: below 100 for photographs, some 150 for
scrawls and for a fax that nobody can read, a thousand and more for print."""
_FRAME_STEPS = 8
"""The edges of a photograph make so few sharp steps; lines of print make many."""
_BETWEEN = 0.21
"""Rows at no angle are shared between two as those at any other angle are on the average."""
_LEVEL = 0.2
"""Degrees below which a page counts as level."""


@dataclass(frozen=True)
class Slant:
    """How the printed lines of a picture run."""

    degrees: float
    """Clockwise rise of the lines that a counter-clockwise turn takes back; 0: level."""
    sideways: bool
    """The lines run from top to bottom."""
    lined: bool = True
    """Ink and paper alternate as in a page of print; a photograph has no such rows."""


def evened(grey: Image.Image) -> Image.Image:
    """The same print on white paper: shadows, stains and grey paper divided away.

    Light print on dark paper is turned about first. A picture whose paper is
    white and even already comes back as it is.
    """
    if _ends(grey.histogram(), 0.5)[0] < _DARK:
        grey = ImageOps.invert(grey)
    paper = _paper_of(grey)
    low, high = _ends(paper.histogram(), 0.01)
    if high - low < _EVEN and high > 215 and _ends(grey.histogram(), 0.001)[0] < 90:
        return grey
    wide = paper.resize(grey.size, Image.Resampling.BILINEAR)
    share = ImageChops.subtract(grey.point(_LOG), wide.point(_LOG), 1, 255)
    flat = share.point(_EXP)
    dark = _ends(flat.histogram(), 0.004)[0]
    return flat if dark < 60 else flat.point(_stretch(min(dark, 200)))


def has_dark_parts(grey: Image.Image) -> bool:
    """Whether some part is so dark that light print may stand on it."""
    small = _small_copy(grey, _PAPER_SIDE)
    return _ends(small.histogram(), _DARK_SHARE)[0] < _DARK


def despeckled(grey: Image.Image) -> Image.Image:
    """Without specks of a pixel or two, and softer: for noise, faxes and 1-bit scans."""
    return grey.filter(ImageFilter.MedianFilter(3)).filter(ImageFilter.GaussianBlur(0.6))


def slant_of(grey: Image.Image) -> Slant:
    """Skew and direction of the lines, by how sharply rows of ink and paper alternate.

    The angle at which the row profile is sharpest levels the lines (projection
    profile method, common practice).
    """
    ink = _ink(_small_copy(grey, _SMALL_SIDE))
    rows = _InkProfile(ink)
    columns = _InkProfile(ink.transpose(Image.Transpose.ROTATE_90))
    level = rows.sharpness(0.0)
    if level > _CLEARLY * max(
        rows.sharpness(-0.5), rows.sharpness(0.5), 2 * columns.sharpness(0.0)
    ):
        along, across = (0.0, level), (0.0, 0.0)  # as most pages lie: no need to try all angles
    else:
        along, across = rows.best_angle(), columns.best_angle()
    sideways = across[1] > _CLEARLY * along[1]
    degrees = (across if sideways else along)[0]
    many = max(
        profile.sharpness(best[0], without=_FRAME_STEPS)
        for profile, best in ((rows, along), (columns, across))
    )
    lined = many >= _LINED * max(ImageStat.Stat(ink).mean[0], 0.1)
    return Slant(0.0 if abs(degrees) < _LEVEL else degrees, sideways, lined)


def levelled(grey: Image.Image, degrees: float) -> Image.Image:
    """Turned counter-clockwise about its middle by `degrees`, in a frame of the same size."""
    if not degrees:
        return grey
    return grey.rotate(degrees, Image.Resampling.BICUBIC, fillcolor=255)


def level_part(grey: Image.Image, box: tuple[int, int, int, int], degrees: float) -> Image.Image:
    """What `levelled` would show in a box, without turning the rest; white beyond the edges."""
    x0, y0, x1, y1 = box
    if not degrees:
        part = Image.new("L", (max(1, x1 - x0), max(1, y1 - y0)), 255)
        part.paste(grey.crop((max(0, x0), max(0, y0), x1, y1)), (max(0, -x0), max(0, -y0)))
        return part
    a0, b0, a1, b1 = on_slant(box, grey.size, degrees)
    left, top = int(a0) - 2, int(b0) - 2
    slanted = level_part(grey, (left, top, int(a1) + 3, int(b1) + 3), 0.0)
    middle = (a0 + a1) / 2 - left, (b0 + b1) / 2 - top
    level = slanted.rotate(degrees, Image.Resampling.BICUBIC, center=middle, fillcolor=255)
    corner = round(middle[0] - (x1 - x0) / 2), round(middle[1] - (y1 - y0) / 2)
    return level.crop((*corner, corner[0] + x1 - x0, corner[1] + y1 - y0))


def _paper_of(grey: Image.Image) -> Image.Image:
    """A small copy in which the print is filled in by the paper around it."""
    paper = _small_copy(grey, _PAPER_SIDE)
    return _lightest_near(paper).filter(ImageFilter.GaussianBlur(2))


def _small_copy(grey: Image.Image, side: int) -> Image.Image:
    """A copy of about that longest side, each pixel the mean of those it stands for."""
    small = grey.reduce(max(1, max(grey.size) // side))
    small.thumbnail((side, side), Image.Resampling.BOX)
    return small


def _lightest_near(grey: Image.Image) -> Image.Image:
    """For each pixel the lightest within two pixels of it, along the rows and the columns."""
    tones = np.frombuffer(grey.tobytes(), dtype=np.uint8).reshape(grey.height, grey.width)
    for _ in range(2):
        framed = np.pad(tones.T, ((0, 0), (2, 2)))
        width = framed.shape[1] - 4
        tones = framed[:, 2 : 2 + width]
        for shift in (0, 1, 3, 4):
            tones = np.maximum(tones, framed[:, shift : shift + width])
    return Image.fromarray(np.ascontiguousarray(tones))


def _ink(small: Image.Image) -> Image.Image:
    paper = _lightest_near(small).filter(ImageFilter.BoxBlur(6))
    ink = ImageChops.subtract(paper, small)
    return ink.point([0 if value < 28 else min(255, value * 2) for value in range(256)])


class _InkProfile:
    """The inked pixels of a picture, to be counted by rows at any angle."""

    def __init__(self, ink: Image.Image) -> None:
        tones = np.frombuffer(ink.tobytes(), dtype=np.uint8).reshape(ink.height, ink.width)
        rows, columns = np.nonzero(tones)
        self._y = rows - ink.height / 2
        self._x = columns - ink.width / 2
        self._weight = tones[rows, columns] / ink.width
        self._height = ink.height
        self._count = ink.height + 2 * (ink.width // 2 + 2)

    def sharpness(self, angle: float, *, without: int = 0) -> float:
        """Sum of the squared steps of the row profile when turned counter-clockwise.

        Only the rows of the frame count: grain ends at its edge, and that is no line.
        `without`: so many of the largest steps are left out.
        """
        turn = math.radians(angle)
        row = self._y * math.cos(turn) - self._x * math.sin(turn) + self._count / 2 + _BETWEEN
        whole = row.astype(np.int64)
        share = row - whole
        profile = np.bincount(whole, self._weight * (1 - share), self._count + 1)
        profile += np.bincount(whole + 1, self._weight * share, self._count + 1)
        top = (self._count - self._height) // 2
        steps = np.sort(np.diff(profile[top : top + self._height]) ** 2)
        return float(steps[: len(steps) - without].sum())

    def best_angle(self) -> tuple[float, float]:
        """The sharpest angle and how sharp it is: whole degrees first, then ever finer steps."""
        whole = range(-_MOST_SKEW, _MOST_SKEW + 1)
        known = {float(angle): self.sharpness(angle) for angle in whole}
        step = 0.5
        while step >= _FINEST:
            best = max(known, key=lambda angle: (known[angle], -abs(angle)))
            for angle in (best - step, best + step):
                if angle not in known:
                    known[angle] = self.sharpness(angle)
            step /= 2
        best = max(known, key=lambda angle: (known[angle], -abs(angle)))
        return best, known[best]


def _ends(histogram: Sequence[int], share: float) -> tuple[int, int]:
    """The values below and above which the given share of all pixels lies."""
    wanted = sum(histogram) * share
    low = _reach(histogram, wanted)
    return low, 255 - _reach(histogram[::-1], wanted)


def _reach(histogram: Sequence[int], wanted: float) -> int:
    passed = 0.0
    for value, count in enumerate(histogram):
        passed += count
        if passed > wanted:
            return value
    return 255


def _stretch(dark: int) -> list[int]:
    return [min(255, max(0, round((value - dark) * 255 / (255 - dark)))) for value in range(256)]


_LOG = [round(46 * math.log(max(value, 1))) for value in range(256)]
_EXP = [min(255, round(255 * math.exp((value - 255) / 46))) for value in range(256)]
"""Lightness as a logarithm in a byte and back: a quotient becomes a difference."""
