"""Signatures as a pen would write them: splines through hand-set points, thicker downwards."""

import io
import math
import random
from itertools import pairwise

from PIL import Image, ImageChops, ImageDraw, ImageFilter

Point = tuple[float, float]

# Letters in a cursive hand: points of a spline in units of the x-height, baseline at 0.
_LETTERS: dict[str, tuple[float, tuple[Point, ...]]] = {
    "a": (1.0, ((0.75, 0.85), (0.35, 0.95), (0.1, 0.45), (0.35, 0.02), (0.72, 0.5), (0.78, 0.9),
                (0.74, 0.3), (0.86, 0.02), (1.05, 0.3))),
    "c": (0.8, ((0.62, 0.8), (0.4, 0.95), (0.12, 0.5), (0.35, 0.02), (0.85, 0.32))),
    "d": (1.0, ((0.72, 0.85), (0.35, 0.95), (0.1, 0.45), (0.35, 0.02), (0.75, 0.6), (0.92, 2.1),
                (0.76, 0.5), (0.86, 0.02), (1.05, 0.3))),
    "e": (0.75, ((0.05, 0.2), (0.45, 0.55), (0.5, 0.92), (0.25, 0.85), (0.15, 0.3), (0.38, 0.0),
                 (0.8, 0.32))),
    "h": (1.0, ((0.0, 0.2), (0.4, 1.5), (0.36, 2.15), (0.2, 1.6), (0.12, 0.0), (0.3, 0.7),
                (0.6, 0.92), (0.66, 0.3), (0.8, 0.02), (1.05, 0.3))),
    "i": (0.5, ((0.05, 0.25), (0.26, 0.9), (0.2, 0.2), (0.32, 0.02), (0.55, 0.3))),
    "m": (1.4, ((0.0, 0.3), (0.18, 0.9), (0.14, 0.02), (0.3, 0.7), (0.52, 0.9), (0.52, 0.05),
                (0.7, 0.7), (0.92, 0.9), (0.96, 0.2), (1.1, 0.02), (1.4, 0.3))),
    "n": (1.0, ((0.0, 0.3), (0.18, 0.9), (0.14, 0.02), (0.32, 0.7), (0.58, 0.9), (0.6, 0.2),
                (0.74, 0.02), (1.05, 0.3))),
    "o": (0.9, ((0.5, 0.92), (0.18, 0.7), (0.15, 0.2), (0.45, 0.0), (0.7, 0.5), (0.5, 0.92),
                (0.62, 0.74), (0.95, 0.78))),
    "r": (0.75, ((0.0, 0.3), (0.2, 1.0), (0.4, 0.82), (0.5, 0.78), (0.46, 0.2), (0.58, 0.02),
                 (0.8, 0.3))),
    "s": (0.7, ((0.0, 0.2), (0.36, 1.0), (0.5, 0.4), (0.3, 0.0), (0.1, 0.14), (0.4, 0.04),
                (0.75, 0.3))),
    "t": (0.6, ((0.0, 0.3), (0.34, 1.75), (0.24, 0.3), (0.36, 0.02), (0.65, 0.3))),
    "l": (0.55, ((0.0, 0.25), (0.42, 1.6), (0.36, 2.1), (0.2, 1.5), (0.2, 0.2), (0.34, 0.0),
                 (0.6, 0.3))),
    "L": (1.6, ((0.9, 1.9), (0.7, 2.25), (0.45, 1.6), (0.5, 0.6), (0.2, 0.05), (0.1, 0.3),
                (0.7, 0.1), (1.6, 0.2))),
    "P": (1.4, ((0.35, 2.0), (0.3, 0.9), (0.1, -0.1), (0.3, 1.6), (0.9, 2.25), (1.2, 1.7),
                (0.8, 1.05), (0.4, 1.1))),
    "D": (1.7, ((0.45, 2.1), (0.3, 1.0), (0.1, 0.05), (0.5, 0.1), (1.2, 0.3), (1.5, 1.3),
                (0.9, 2.2), (0.2, 2.0), (0.05, 1.7))),
    "C": (1.5, ((1.25, 1.8), (1.0, 2.25), (0.35, 1.6), (0.15, 0.6), (0.6, 0.0), (1.5, 0.4))),
    "V": (1.5, ((0.0, 1.9), (0.25, 2.15), (0.45, 1.2), (0.62, 0.0), (1.0, 1.3), (1.4, 2.2),
                (1.55, 2.05))),
    "H": (1.9, ((0.1, 1.9), (0.4, 2.15), (0.35, 1.0), (0.1, 0.0), (0.4, 0.6), (1.2, 1.15),
                (1.5, 2.2), (1.35, 1.0), (1.25, 0.0), (1.5, 0.1), (1.9, 0.4))),
    "B": (1.6, ((0.2, 2.1), (0.3, 1.0), (0.15, 0.0), (0.3, 1.6), (0.9, 2.2), (1.1, 1.7),
                (0.5, 1.15), (1.2, 0.9), (1.0, 0.1), (0.3, 0.05), (0.9, 0.0), (1.6, 0.35))),
}  # fmt: skip


def _spline(points: list[Point], steps: int = 14) -> list[Point]:
    """A Catmull-Rom curve through the points."""
    padded = [points[0], *points, points[-1]]
    curve: list[Point] = []
    for i in range(1, len(padded) - 2):
        p0, p1, p2, p3 = padded[i - 1 : i + 3]
        for step in range(steps):
            t = step / steps
            curve.append(
                (
                    _blend(p0[0], p1[0], p2[0], p3[0], t),
                    _blend(p0[1], p1[1], p2[1], p3[1], t),
                )
            )
    curve.append(points[-1])
    return curve


def _blend(a: float, b: float, c: float, d: float, t: float) -> float:
    return 0.5 * (
        2 * b + (c - a) * t + (2 * a - 5 * b + 4 * c - d) * t**2 + (3 * b - a - 3 * c + d) * t**3
    )


def _strokes(name: str, hand: random.Random) -> list[list[Point]]:
    """One stroke per word, capitals on their own; then the cross of a t and the flourish."""
    strokes: list[list[Point]] = []
    crosses: list[list[Point]] = []
    x = 0.0
    for word in name.split():
        current: list[Point] = []
        for index, letter in enumerate(word):
            width, shape = _LETTERS[letter]
            grow = 1.0 if letter.isupper() else hand.uniform(0.9, 1.05)
            rise = hand.uniform(-0.05, 0.05)
            moved = [(x + px, py * grow + rise) for px, py in shape]
            if index == 0:
                strokes.append(moved)
            else:
                current.extend(moved)
            if letter == "i":
                crosses.append([(x + 0.5, 1.42), (x + 0.58, 1.46), (x + 0.6, 1.36)])
            if letter == "t":
                crosses.append([(x - 0.25, 1.25), (x + 0.2, 1.34), (x + 0.85, 1.3)])
            x += width * (1.0 if letter.isupper() else 0.92)
        if current:
            strokes.append(current)
        x += 0.7
    tail = [(x - 0.9, 0.2), (x + 0.6, 0.5), (x + 0.2, -0.5), (x - 3.5, -0.55), (x + 1.2, -0.35)]
    return [*strokes, *crosses, tail]


def signature(name: str, seed: int, height: int = 150, slant: float = 0.32) -> Image.Image:
    """The ink of a signature as a mask: 255 where ink lies. Drawn large, then made small."""
    hand = random.Random(seed)
    big = 4
    unit = height * big / 4.4
    curves = [_spline(stroke) for stroke in _strokes(name, hand)]
    sheared = [[(x + slant * y, y) for x, y in curve] for curve in curves]
    left = min(x for curve in sheared for x, _ in curve) - 0.4
    right = max(x for curve in sheared for x, _ in curve) + 0.4
    size = (round((right - left) * unit * 0.86), height * big)
    image = Image.new("L", size, 0)
    draw = ImageDraw.Draw(image)
    for curve in sheared:
        _ink(draw, [((x - left) * unit * 0.86, (3.2 - y) * unit) for x, y in curve], big)
    return image.resize((size[0] // big, height), Image.Resampling.LANCZOS)


def _ink(draw: ImageDraw.ImageDraw, path: list[Point], big: int) -> None:
    """Draws one stroke as many discs; downward strokes press harder, ends are light."""
    count = len(path)
    for index, ((x1, y1), (x2, y2)) in enumerate(pairwise(path)):
        length = math.hypot(x2 - x1, y2 - y1) or 1.0
        down = max(0.0, (y2 - y1) / length)
        ends = min(1.0, 0.35 + 6 * min(index, count - index) / count)
        radius = big * (0.75 + 0.85 * down) * ends
        for step in range(max(1, round(length / 2))):
            t = step / max(1, round(length / 2))
            x, y = x1 + (x2 - x1) * t, y1 + (y2 - y1) * t
            draw.ellipse([x - radius, y - radius, x + radius, y + radius], fill=255)


def ink_on_white(name: str, seed: int) -> bytes:
    """A scanned signature: dark blue ink, white paper, PNG."""
    mask = signature(name, seed)
    paper = Image.new("RGB", mask.size, (255, 255, 255))
    paper.paste((22, 34, 96), (0, 0), mask)
    out = io.BytesIO()
    paper.save(out, "PNG", dpi=(300, 300), optimize=True)
    return out.getvalue()


def ink_on_nothing(name: str, seed: int) -> bytes:
    """A signature from a pad: black ink on transparent ground, PNG."""
    mask = signature(name, seed, slant=0.18)
    drawn = Image.new("RGBA", mask.size, (10, 10, 14, 0))
    drawn.putalpha(mask)
    out = io.BytesIO()
    drawn.save(out, "PNG", dpi=(300, 300), optimize=True)
    return out.getvalue()


def ink_on_paper(name: str, seed: int) -> bytes:
    """A photographed signature: black ink on paper that is not quite white, JPEG."""
    mask = signature(name, seed, slant=0.4)
    paper = Image.new("RGB", mask.size, (243, 241, 236))
    grain = Image.frombytes("L", mask.size, random.Random(seed).randbytes(mask.width * mask.height))
    grain = grain.filter(ImageFilter.BoxBlur(1)).point([v // 24 for v in range(256)])
    paper = ImageChops.subtract(paper, grain.convert("RGB"))
    paper.paste((28, 28, 34), (0, 0), mask)
    out = io.BytesIO()
    paper.filter(ImageFilter.GaussianBlur(0.4)).save(out, "JPEG", quality=82, dpi=(200, 200))
    return out.getvalue()
