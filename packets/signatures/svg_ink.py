"""A drawing of strokes as artwork: operators for a page, pixels to measure by, a clean file."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from PIL import Image, ImageDraw

from packets.base.canonical import sha256_hex
from packets.base.errors import InputRefused
from packets.signatures.records import Artwork
from packets.signatures.svg_paths import Step, moved
from packets.signatures.svg_reader import Colour, Stroke, read_svg

SIDE = 1200
"""Units on the longer side of the drawing as it is kept: 300 to the inch at four inches."""
SMALLEST = 1e-6
CURVE_PIECES = 16
CAPS = {"butt": 0, "round": 1, "square": 2}
JOINS = {"miter": 0, "round": 1, "bevel": 2}
MOST_UNEVEN = 60
"""A drawing so many times longer than high, or the reverse, is a rule and no signature."""


@dataclass(frozen=True)
class Drawing:
    """Strokes trimmed to their ink, on a ground of SIDE units on its longer side."""

    width: int
    height: int
    strokes: tuple[Stroke, ...]


def drawing_of(data: bytes, where: str) -> Drawing:
    """The inked strokes of an SVG file. Raises what `read_svg` raises."""
    strokes = read_svg(data, where)
    boxes = [_box(stroke) for stroke in strokes]
    if not boxes:
        raise InputRefused("this drawing shows no ink", where=where)
    x0, y0 = min(box[0] for box in boxes), min(box[1] for box in boxes)
    x1, y1 = max(box[2] for box in boxes), max(box[3] for box in boxes)
    width, height = x1 - x0, y1 - y0
    if not math.isfinite(width + height) or min(width, height) * MOST_UNEVEN <= max(
        width, height, SMALLEST
    ):
        raise InputRefused("this drawing cannot hold a signature", where=where)
    scale = SIDE / max(width, height)
    kept = tuple(
        replace(
            stroke,
            steps=tuple(moved(iter(stroke.steps), (scale, 0, 0, scale, -x0 * scale, -y0 * scale))),
            width=stroke.width * scale,
        )
        for stroke in strokes
    )
    return Drawing(math.ceil(width * scale), math.ceil(height * scale), kept)


def svg_artwork(data: bytes, where: str) -> Artwork:
    """The drawing as artwork: operators for the page, and the same as pixels to measure by."""
    drawing = drawing_of(data, where)
    return Artwork(
        drawing.width,
        drawing.height,
        _pixels(drawing).tobytes(),
        sha256_hex(data),
        _operators(drawing),
    )


def clean_svg(data: bytes, where: str) -> bytes:
    """The same strokes in a file of our own, with nothing else in it."""
    drawing = drawing_of(data, where)
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {drawing.width} {drawing.height}">'
    )
    return "\n".join([head, *map(_path, drawing.strokes), "</svg>\n"]).encode("ascii")


def _path(stroke: Stroke) -> str:
    data = " ".join(f"{name}{_plain(values)}" for name, values in stroke.steps)
    paint = [
        f'fill="{_hex(stroke.fill)}"',
        'fill-rule="evenodd"' if stroke.even_odd else "",
        f'stroke="{_hex(stroke.stroke)}"',
    ]
    if stroke.stroke:
        cap = stroke.cap if stroke.cap in CAPS else "butt"
        join = stroke.join if stroke.join in JOINS else "miter"
        paint += [
            f'stroke-width="{_plain((stroke.width,))}"',
            f'stroke-linecap="{cap}" stroke-linejoin="{join}"',
        ]
    return f'<path d="{data}" {" ".join(filter(None, paint))}/>'


def _operators(drawing: Drawing) -> bytes:
    """Path operators (ISO 32000-2, 8.5) in a box of width x height, origin lower left."""
    upward = (1.0, 0.0, 0.0, -1.0, 0.0, float(drawing.height))
    lines = []
    for stroke in drawing.strokes:
        paint = {(True, False): "f", (False, True): "S", (True, True): "B"}[
            stroke.fill is not None, stroke.stroke is not None
        ]
        if stroke.even_odd and paint != "S":
            paint += "*"
        if stroke.fill is not None:
            lines.append(f"{_plain(_shares(stroke.fill))} rg")
        if stroke.stroke is not None:
            lines.append(
                f"{_plain(_shares(stroke.stroke))} RG {_plain((stroke.width,))} w "
                f"{CAPS.get(stroke.cap, 0)} J {JOINS.get(stroke.join, 0)} j"
            )
        for name, values in moved(iter(stroke.steps), upward):
            operator = {"M": "m", "L": "l", "C": "c", "Z": "h"}[name]
            lines.append(f"{_plain(values)} {operator}".strip())
        lines.append(paint)
    return "\n".join(lines).encode("ascii")


def _pixels(drawing: Drawing) -> Image.Image:
    picture = Image.new("RGBA", (drawing.width, drawing.height), (0, 0, 0, 0))
    draw = ImageDraw.Draw(picture)
    for stroke in drawing.strokes:
        for line in _lines(stroke.steps):
            if stroke.fill and len(line) > 2:
                draw.polygon(line, fill=(*stroke.fill, 255))
            if stroke.stroke:
                width = max(1, round(stroke.width))
                draw.line(line, fill=(*stroke.stroke, 255), width=width, joint="curve")
                for x, y in (line[0], line[-1]):
                    reach = width / 2
                    draw.ellipse(
                        (x - reach, y - reach, x + reach, y + reach), fill=(*stroke.stroke, 255)
                    )
    return picture


def _lines(steps: Sequence[Step]) -> Iterator[list[tuple[float, float]]]:
    """The subpaths as points, curves in pieces."""
    line: list[tuple[float, float]] = []
    for name, values in steps:
        points = list(zip(values[::2], values[1::2], strict=True))
        match name:
            case "M":
                if line:
                    yield line
                line = points
            case "L":
                line.extend(points)
            case "C":
                line.extend(_curve(line[-1], *points))
            case "Z" if line:
                line.append(line[0])
    if line:
        yield line


def _curve(
    a: tuple[float, float], b: tuple[float, float], c: tuple[float, float], d: tuple[float, float]
) -> Iterator[tuple[float, float]]:
    for piece in range(1, CURVE_PIECES + 1):
        t = piece / CURVE_PIECES
        s = 1 - t
        share = (s**3, 3 * s * s * t, 3 * s * t * t, t**3)
        points = (a, b, c, d)
        yield (
            sum(part * point[0] for part, point in zip(share, points, strict=True)),
            sum(part * point[1] for part, point in zip(share, points, strict=True)),
        )


def _box(stroke: Stroke) -> tuple[float, float, float, float]:
    reach = stroke.width / 2 if stroke.stroke else 0.0
    points = [point for line in _lines(stroke.steps) for point in line]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs) - reach, min(ys) - reach, max(xs) + reach, max(ys) + reach


def _shares(colour: Colour) -> tuple[float, ...]:
    return tuple(channel / 255 for channel in colour)


def _hex(colour: Colour | None) -> str:
    return "#" + bytes(colour).hex() if colour else "none"


def _plain(values: Sequence[float]) -> str:
    return " ".join(f"{value + 0.0:.2f}".rstrip("0").rstrip(".") for value in values)
