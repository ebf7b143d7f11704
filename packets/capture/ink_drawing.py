"""A pen's line as a picture and as outlines. Same strokes, same bytes."""

import io
import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from PIL import Image, ImageDraw

from packets.base.errors import InputRefused
from packets.capture.pen_line import Dot, length_of, pen_line
from packets.capture.strokes import Stroke
from packets.handover.grant_records import DrawnSignature
from packets.signatures.ink import lift_ink
from packets.signatures.svg_ink import svg_artwork

PAD = "the pad"
INK = (17, 26, 66)
"""A blue that is nearly black, as a pen's on paper."""
PIXELS, FINER = 2.5, 3
"""Pixels of the picture for a unit of the pad; each is the mean of FINER x FINER finer ones."""
MARGIN = 4.0
"""Pad units left free around the ink."""
LEAST_LENGTH = 25.0
"""Pad units of line that a signature or a mark has, at the very least."""
MOST_LENGTH = 15_000.0
"""Pad units of line: sixteen times across the pad is no signature."""
ROUND = 0.5522847498
"""Handle of the cubic curve that is nearest to a quarter of a circle of radius 1."""

Line = Sequence[Dot]


def draw_signature(strokes: Sequence[Stroke]) -> DrawnSignature:
    """PNG and SVG of the strokes. Raises InputRefused where there is too little ink."""
    lines = [pen_line(stroke) for stroke in strokes]
    length = sum(map(length_of, lines))
    if not LEAST_LENGTH <= length <= MOST_LENGTH:
        amount = "little" if length < LEAST_LENGTH else "much"
        raise InputRefused(
            f"there is too {amount} ink for a signature",
            where=PAD,
            remedy="Choose Clear and draw the whole signature, then choose Accept.",
        )
    left, top, right, bottom = _box(lines)
    moved = [[Dot(dot.x - left, dot.y - top, dot.radius) for dot in line] for line in lines]
    size = (right - left, bottom - top)
    ink = _ink(moved, size)
    svg = _svg(moved, size)
    # What would be refused when the signature is placed is refused while the signer is there.
    lift_ink(_on_paper(ink), PAD)
    svg_artwork(svg, PAD)
    return DrawnSignature(_png(ink), svg)


def _box(lines: Sequence[Line]) -> tuple[float, float, float, float]:
    dots = [dot for line in lines for dot in line]
    return (
        math.floor(min(dot.x - dot.radius for dot in dots) - MARGIN),
        math.floor(min(dot.y - dot.radius for dot in dots) - MARGIN),
        math.ceil(max(dot.x + dot.radius for dot in dots) + MARGIN),
        math.ceil(max(dot.y + dot.radius for dot in dots) + MARGIN),
    )


def _ink(lines: Sequence[Line], size: tuple[float, float]) -> Image.Image:
    """How much of each pixel is ink, 0 to 255."""
    width, height = (math.ceil(side * PIXELS) for side in size)
    scale = PIXELS * FINER
    fine = Image.new("L", (width * FINER, height * FINER), 0)
    pen = ImageDraw.Draw(fine)
    for line in lines:
        for x, y, radius in line:
            box = [(c + sign * radius) * scale for sign in (-1, 1) for c in (x, y)]
            pen.ellipse(box, fill=255)
        for one, other in pairwise(line):
            pen.polygon([(x * scale, y * scale) for x, y in _quad(one, other)], fill=255)
    return fine.reduce(FINER)


def _on_paper(ink: Image.Image) -> Image.Image:
    paper = Image.new("RGB", ink.size, (255, 255, 255))
    paper.paste(INK, mask=ink)
    return paper


def _png(ink: Image.Image) -> bytes:
    picture = Image.new("RGBA", ink.size, (0, 0, 0, 0))
    picture.paste((*INK, 255), mask=ink.point([0] + [255] * 255))
    picture.putalpha(ink)
    target = io.BytesIO()
    picture.save(target, "PNG", optimize=True)
    return target.getvalue()


def _quad(one: Dot, other: Dot) -> list[tuple[float, float]]:
    """Both edges of a piece of line, in one turning sense whatever its direction."""
    (a, b), (c, d) = _edges(one, other)
    return [a, c, d, b]


def _edges(one: Dot, other: Dot) -> tuple[tuple[tuple[float, float], ...], ...]:
    """For each end of a piece: the point on its left edge and the one on its right."""
    x, y = other.x - one.x, other.y - one.y
    way = math.hypot(x, y) or 1.0
    across = (y / way, -x / way)
    return tuple(
        tuple(
            (dot.x + side * dot.radius * across[0], dot.y + side * dot.radius * across[1])
            for side in (1, -1)
        )
        for dot in (one, other)
    )


def _svg(lines: Sequence[Line], size: tuple[float, float]) -> bytes:
    """One filled path a stroke; M, L, C and Z with absolute numbers, and nothing else."""
    colour = "#{:02x}{:02x}{:02x}".format(*INK)
    paths = "".join(f'<path fill="{colour}" d="{"".join(_outline(line))}"/>\n' for line in lines)
    width, height = (f"{side:g}" for side in size)
    head = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}"'
    return f'{head} width="{width}" height="{height}">\n{paths}</svg>\n'.encode()


def _outline(line: Line) -> Iterator[str]:
    """The line's edge, there and back, and a disc at its ends and wherever it turns sharply.

    All of it turns the same way, so that a reader that fills by the non-zero
    rule, the standard one of SVG and PDF, leaves no hole where parts overlap.
    """
    pieces = [_edges(one, other) for one, other in pairwise(line)]
    if pieces:
        there = [piece[end][0] for piece in pieces for end in (0, 1)]
        back = [piece[end][1] for piece in reversed(pieces) for end in (1, 0)]
        yield _polygon([*there, *back])
    for at, dot in enumerate(line):
        if at in (0, len(line) - 1) or _is_sharp(line[at - 1], dot, line[at + 1]):
            yield _disc(dot)


def _is_sharp(before: Dot, here: Dot, after: Dot) -> bool:
    """Whether the inner edge of the turn may fold over itself, or the outer one gape."""
    coming = math.atan2(here.y - before.y, here.x - before.x)
    going = math.atan2(after.y - here.y, after.x - here.x)
    turn = abs(math.remainder(going - coming, math.tau))
    step = min(math.dist(before[:2], here[:2]), math.dist(here[:2], after[:2]))
    return turn > min(0.35, 0.4 * step / here.radius)


def _polygon(points: Sequence[tuple[float, float]]) -> str:
    corners = [f"{x:.2f} {y:.2f}" for x, y in points]
    told = [corner for at, corner in enumerate(corners) if at == 0 or corner != corners[at - 1]]
    return f"M{'L'.join(told)}Z"


def _disc(dot: Dot) -> str:
    """A circle of four curves that turns as `_outline` does."""
    x, y, r = dot
    h = r * ROUND
    curves = (
        (x + r, y + h, x + h, y + r, x, y + r),
        (x - h, y + r, x - r, y + h, x - r, y),
        (x - r, y - h, x - h, y - r, x, y - r),
        (x + h, y - r, x + r, y - h, x + r, y),
    )
    told = "".join("C" + " ".join(f"{value:.2f}" for value in curve) for curve in curves)
    return f"M{x + r:.2f} {y:.2f}{told}Z"
