"""One page made ready to be read spot by spot: its ink, its rules, and level cut-outs of it.

The picture itself is never turned by small angles; only what is cut out is.
"""

from dataclasses import dataclass
from statistics import median

import numpy as np
import numpy.typing as npt
from PIL import Image

from packets.reading.ink_lines_marks import (
    INK,
    NO_MARKS,
    Flags,
    Marks,
    inked,
    marks_of,
    without_rules,
)
from packets.reading.ink_lines_rows import Box, Rows, rows_of
from packets.reading.slant import on_slant

SIDE = 2200
"""Longest side in pixels to which a page is brought: 200 dpi of a letter page."""
LEAST_SIDE = 1200
"""A smaller picture is no page."""
_LEAST_TYPE, _MOST_TYPE = 7, 90
"""Heights in pixels that type may have."""
_LONGEST = 12
"""A mark wider than this, in its heights, is no type."""
_RULE, _SLANTED_RULE, _RULE_BREADTH = 64, 30, 2.2
"""A straight run of ink longer than this is a rule; on a slant so much less, by its breadth."""
_STANDING, _THIN = 30, 0.1
"""A mark as high as this in pixels, and as thin in its heights, is a piece of a rule."""
_SPECK = 3
_MOST_POINT = 24
_MOST_SPECKS = 1.5
"""More specks than this for each mark of type: the scan is too rough for shapes to tell."""
_PALE, _SOFT = 205, 1.5
"""Pixels darker than the pale tone, for each that is ink: some 1.2 to 1.4 in a sharp scan."""
_LEAST_MARKS = 4
_DARK_FILL, _DARK_SIDE, _DARK_SHARE = 0.55, 16, 0.25
"""Dark fields may carry light print; so much of the page at most."""
_BLOCK, _DARKEST = 8, 60
"""A dark field fills at least one block of so many pixels with ink."""
_PAD = 10
_SPACED = 0.24
"""Gap in heights at which digits from boxes are put side by side."""


@dataclass(frozen=True)
class Sheet:
    """A page in grey at its working size, and the rows of its type, levelled."""

    tones: npt.NDArray[np.uint8]
    rules: Flags
    """Pixels of rules and frames."""
    skew: float
    scale: float
    """Working size against the size of the turned picture."""
    rows: Rows
    points: Marks
    """Dots, commas, dashes and the like, levelled."""
    empty: bool
    """So few marks of any size that they cannot be a number."""
    rough: bool
    """Too many specks, or ink that does not part into letters."""

    @property
    def size(self) -> tuple[int, int]:
        """Width and height in pixels."""
        return self.tones.shape[1], self.tones.shape[0]


def sheet_of(turned: Image.Image, skew: float) -> Sheet | None:
    """Prepare an evened grey picture that lies upright; None for one that is no page."""
    if max(turned.size) < LEAST_SIDE:
        return None
    grey, scale = _at_working_size(turned)
    ink = inked(grey)
    type_ink = without_rules(ink, _longest_stroke(skew))
    marks = marks_of(type_ink)
    high, wide = marks.y1 - marks.y0, marks.x1 - marks.x0
    specks = int(((high <= _SPECK) & (wide <= _SPECK)).sum())
    points = marks.only((high <= _MOST_POINT) & (wide <= _MOST_POINT) & (high * wide >= 4))
    standing = (high >= _STANDING) & (wide <= np.maximum(_SPECK, _THIN * high))
    is_type = (high >= _LEAST_TYPE) & (high <= _MOST_TYPE) & (wide <= _LONGEST * high)
    kept = marks.only(is_type & ~standing)
    light, covered = _light_print(grey, marks, ink)
    if light is not None:
        kept = kept.joined(light)
    rough = specks > _MOST_SPECKS * len(kept) + 60 or covered > _DARK_SHARE or _is_soft(grey)
    return Sheet(
        np.frombuffer(grey.tobytes(), dtype=np.uint8).reshape(grey.height, grey.width),
        _with_boxes(ink & ~type_ink, marks.only(standing)),
        skew,
        scale,
        rows_of(_levelled(kept, grey.size, skew)),
        _levelled(points, grey.size, skew),
        int((high > _SPECK).sum()) < _LEAST_MARKS and light is None and not rough,
        rough,
    )


def _at_working_size(turned: Image.Image) -> tuple[Image.Image, float]:
    scale = SIDE / max(turned.size)
    if abs(scale - 1) < 0.02:
        return turned, 1.0
    size = max(1, round(turned.width * scale)), max(1, round(turned.height * scale))
    how = Image.Resampling.BICUBIC if scale > 1 else Image.Resampling.HAMMING
    return turned.resize(size, how), scale


def _longest_stroke(skew: float) -> int:
    """From which length on a run of ink is a rule: on a slant a rule makes but short runs."""
    slope = np.tan(np.deg2rad(abs(skew)))
    return int(max(_SLANTED_RULE, min(_RULE, _RULE_BREADTH / max(slope, 1e-3))))


def _with_boxes(rules: Flags, pieces: Marks) -> Flags:
    """Rules together with the pieces of rules that were taken for marks."""
    for k in range(len(pieces)):
        rules[pieces.y0[k] : pieces.y1[k], pieces.x0[k] : pieces.x1[k]] = True
    return rules


def _is_soft(grey: Image.Image) -> bool:
    """Whether so much is grey that thin strokes may be lost at any limit of tone."""
    tones = grey.histogram()
    return sum(tones[:_PALE]) > _SOFT * sum(tones[:INK])


def _light_print(grey: Image.Image, marks: Marks, ink: Flags) -> tuple[Marks | None, float]:
    """Marks of light type on dark fields, and the share of the page that such fields cover."""
    if min(grey.reduce(_BLOCK).tobytes()) > _DARKEST:
        return None, 0.0
    everything = marks_of(ink) if len(marks) else marks
    high, wide = everything.y1 - everything.y0, everything.x1 - everything.x0
    full = everything.ink > _DARK_FILL * high * wide
    fields = everything.only(full & (np.minimum(high, wide) >= _DARK_SIDE) & (wide >= 1.5 * high))
    found: Marks | None = None
    for k in range(len(fields)):
        x0, y0, x1, y1 = (int(side[k]) for side in (fields.x0, fields.y0, fields.x1, fields.y1))
        inside = marks_of(~ink[y0:y1, x0:x1])
        tall, broad = inside.y1 - inside.y0, inside.x1 - inside.x0
        is_type = (tall >= _LEAST_TYPE) & (tall <= _MOST_TYPE) & (broad <= 3 * tall)
        inside = inside.only(is_type & (tall < y1 - y0))
        found = (found or NO_MARKS).joined(inside, x0, y0)
    area = float(((fields.x1 - fields.x0) * (fields.y1 - fields.y0)).sum())
    return found, area / max(1, grey.width * grey.height)


def _levelled(marks: Marks, size: tuple[int, int], skew: float) -> Marks:
    """The boxes turned with the page about its middle; their own size stays."""
    if not skew:
        return marks
    turn = np.deg2rad(skew)
    dx = (marks.x0 + marks.x1 - size[0]) / 2
    dy = (marks.y0 + marks.y1 - size[1]) / 2
    x = size[0] / 2 + dx * np.cos(turn) + dy * np.sin(turn)
    y = size[1] / 2 - dx * np.sin(turn) + dy * np.cos(turn)
    half_x, half_y = (marks.x1 - marks.x0) / 2, (marks.y1 - marks.y0) / 2
    x0, y0, x1, y1 = (
        np.rint(side).astype(np.int64) for side in (x - half_x, y - half_y, x + half_x, y + half_y)
    )
    return Marks(x0, y0, x1, y1, marks.ink)


def cut_out(sheet: Sheet, box: Box) -> tuple[Image.Image, float, float]:
    """A region of the levelled page without rules, framed in white, and where its corner lies."""
    high = box[3] - box[1]
    x0, y0 = int(box[0] - 0.2 * high), int(box[1] - 0.25 * high)
    x1, y1 = int(box[2] + 0.2 * high) + 1, int(box[3] + 0.25 * high) + 1
    level = _level_part(sheet, (x0, y0, x1, y1))
    framed = Image.new("L", (level.width + 2 * _PAD, level.height + 2 * _PAD), 255)
    framed.paste(level, (_PAD, _PAD))
    return framed, x0 - _PAD, y0 - _PAD


def _level_part(sheet: Sheet, box: tuple[int, int, int, int]) -> Image.Image:
    x0, y0, x1, y1 = box
    if not sheet.skew:
        return _part(sheet, box)
    a0, b0, a1, b1 = on_slant((x0, y0, x1, y1), sheet.size, sheet.skew)
    outer = int(a0) - 2, int(b0) - 2, int(a1) + 3, int(b1) + 3
    slanted = _part(sheet, outer)
    level = slanted.rotate(sheet.skew, Image.Resampling.BICUBIC, fillcolor=255)
    # Levelling about the middle of the cut-out: its middle is that of the wanted region.
    left, top = (slanted.width - (x1 - x0)) // 2, (slanted.height - (y1 - y0)) // 2
    return level.crop((left, top, left + x1 - x0, top + y1 - y0))


def _part(sheet: Sheet, box: tuple[int, int, int, int]) -> Image.Image:
    """A part of the page as it lies, white where rules run and beyond its edges."""
    x0, y0, x1, y1 = box
    width, height = sheet.size
    inner = slice(max(0, y0), min(height, y1)), slice(max(0, x0), min(width, x1))
    tones, rules = sheet.tones[inner], sheet.rules[inner]
    if rules.any():
        tones = np.where(_grown(rules), np.uint8(255), tones)
    whole = np.full((y1 - y0, x1 - x0), 255, dtype=np.uint8)
    top, left = max(0, -y0), max(0, -x0)
    whole[top : top + tones.shape[0], left : left + tones.shape[1]] = tones
    return Image.fromarray(whole)


def _grown(rules: Flags) -> Flags:
    """With the pixels beside them: rules have soft edges."""
    grown = rules.copy()
    grown[1:] |= rules[:-1]
    grown[:-1] |= rules[1:]
    grown[:, 1:] |= rules[:, :-1]
    grown[:, :-1] |= rules[:, 1:]
    return grown


def side_by_side(sheet: Sheet, marks: tuple[Box, ...]) -> tuple[Image.Image, tuple[int, ...]]:
    """Marks that stand in boxes put together to one word, and the middle of each in it."""
    high = round(median(box[3] - box[1] for box in marks))
    gap = max(2, round(_SPACED * high))
    foot = round(median(box[3] for box in marks))
    parts: list[tuple[Image.Image, int]] = []
    for x0, y0, x1, y1 in marks:
        part = _level_part(sheet, (int(x0) - 1, int(y0) - 1, int(x1) + 1, int(y1) + 1))
        parts.append((part, int(y1) + 1 - foot))
    width = sum(part.width + gap for part, _ in parts) + 2 * _PAD
    row = Image.new("L", (width, 2 * high + 2 * _PAD), 255)
    at, middles = _PAD, []
    for part, below in parts:
        row.paste(part, (at, _PAD + round(1.5 * high) - part.height + below))
        middles.append(at + part.width // 2)
        at += part.width + gap
    return row, tuple(middles)
