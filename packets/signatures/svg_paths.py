"""Shapes of an SVG drawing as absolute lines and curves (SVG 1.1, chapters 7 to 9)."""

import math
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

Matrix = tuple[float, float, float, float, float, float]
Step = tuple[str, tuple[float, ...]]
"""`M` and `L` with a point, `C` with three points, `Z` with none."""
IDENTITY: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
LARGEST = 1e6
_NUMBER = re.compile(r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d{1,3})?")
_TOKEN = re.compile(rf"\s*,?\s*([MmLlHhVvCcSsQqTtAaZz]|{_NUMBER.pattern})")
_TRANSFORM = re.compile(r"\s*,?\s*(matrix|translate|scale|rotate|skewX|skewY)\s*\(([^()]*)\)")
_COUNTS = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}


class NotDrawn(ValueError):
    """Path data, a number or a transform that is not as the standard has it."""


def numbers(text: str) -> list[float]:
    """All numbers of a list; nothing but numbers, spaces and commas may stand in it."""
    if _NUMBER.sub("", text).strip(" \t\r\n,"):
        raise NotDrawn("this is no list of numbers")
    found = [float(number) for number in _NUMBER.findall(text)]
    if any(abs(value) > LARGEST for value in found):
        raise NotDrawn("a number is too large")
    return found


def length(text: str) -> float:
    """A length in user units; `px` is one, other units are not taken."""
    (value,) = numbers(text.strip().removesuffix("px")) or [0.0]
    return value


def times(first: Matrix, then: Matrix) -> Matrix:
    """The matrix that applies `first` and then `then`."""
    a, b, c, d, e, f = first
    p, q, r, s, t, u = then
    return (
        a * p + b * r,
        a * q + b * s,
        c * p + d * r,
        c * q + d * s,
        e * p + f * r + t,
        e * q + f * s + u,
    )


def transform(text: str) -> Matrix:
    """The matrix of a `transform` attribute."""
    result, at = IDENTITY, 0
    for match in _TRANSFORM.finditer(text):
        if match.start() != at:
            break
        at = match.end()
        result = times(_one_transform(match[1], numbers(match[2])), result)
    if text[at:].strip():
        raise NotDrawn("this is no transform")
    return result


def _one_transform(name: str, given: list[float]) -> Matrix:
    result: Matrix | None = None
    match name, given:
        case "matrix", [a, b, c, d, e, f]:
            result = (a, b, c, d, e, f)
        case "translate", [x, *y] if len(y) < 2:
            result = (1, 0, 0, 1, x, (y or [0.0])[0])
        case "scale", [x, *y] if len(y) < 2:
            result = (x, 0, 0, (y or [x])[0], 0, 0)
        case "rotate", [angle, *about] if len(about) in (0, 2):
            turn = math.radians(angle)
            cos, sin = math.cos(turn), math.sin(turn)
            x, y0 = about or (0.0, 0.0)
            result = (cos, sin, -sin, cos, x - cos * x + sin * y0, y0 - sin * x - cos * y0)
        case "skewX", [angle]:
            result = (1, 0, math.tan(math.radians(angle)), 1, 0, 0)
        case "skewY", [angle]:
            result = (1, math.tan(math.radians(angle)), 0, 1, 0, 0)
    if result is None:
        raise NotDrawn("this is no transform")
    return result


def moved(steps: Iterator[Step], matrix: Matrix) -> Iterator[Step]:
    """The same lines and curves under a matrix."""
    a, b, c, d, e, f = matrix
    for name, values in steps:
        pairs = zip(values[::2], values[1::2], strict=True)
        yield name, tuple(v for x, y in pairs for v in (a * x + c * y + e, b * x + d * y + f))


@dataclass
class _Walk:
    """Where the pen is while path data is read."""

    x: float = 0.0
    y: float = 0.0
    start: tuple[float, float] = (0.0, 0.0)
    handle: tuple[float, float] = (0.0, 0.0)
    """Last control point, to be mirrored by S and T."""
    last: str = ""

    def mirrored(self, kinds: str) -> tuple[float, float]:
        if self.last not in kinds:
            return self.x, self.y
        return 2 * self.x - self.handle[0], 2 * self.y - self.handle[1]


def path_steps(data: str) -> Iterator[Step]:
    """The lines and curves of path data. Raises NotDrawn where it is not well formed."""
    walk = _Walk()
    for command, values in _commands(data):
        name = command.upper()
        if not walk.last and name != "M":
            raise NotDrawn("a path begins with M")
        yield from _step(walk, name, _absolute(walk, command, values))
        walk.last = name


def _commands(data: str) -> Iterator[tuple[str, list[float]]]:
    at, tokens = 0, []
    while match := _TOKEN.match(data, at):
        tokens.append(match[1])
        at = match.end()
    if data[at:].strip():
        raise NotDrawn("this is no path data")
    place = 0
    while place < len(tokens):
        command = tokens[place]
        if not command.isalpha():
            raise NotDrawn("a path begins with a letter")
        place += 1
        count = _COUNTS[command.upper()]
        first = True
        while first or (count and place < len(tokens) and not tokens[place].isalpha()):
            given = tokens[place : place + count]
            if len(given) < count or any(token.isalpha() for token in given):
                raise NotDrawn("a path lacks numbers")
            yield command, numbers(" ".join(given))
            place += count
            first = False
            command = {"M": "L", "m": "l"}.get(command, command)


def _absolute(walk: _Walk, command: str, values: list[float]) -> list[float]:
    if command.isupper() or command == "z":
        return values
    match command:
        case "h":
            return [values[0] + walk.x]
        case "v":
            return [values[0] + walk.y]
        case "a":
            return [*values[:5], values[5] + walk.x, values[6] + walk.y]
    return [value + (walk.y if at % 2 else walk.x) for at, value in enumerate(values)]


def _step(walk: _Walk, name: str, v: list[float]) -> Iterator[Step]:
    match name:
        case "Z":
            yield "Z", ()
            walk.x, walk.y = walk.start
            return
        case "M":
            walk.start = (v[0], v[1])
            yield "M", (v[0], v[1])
        case "L":
            yield "L", (v[0], v[1])
        case "H":
            v = [v[0], walk.y]
            yield "L", (v[0], v[1])
        case "V":
            v = [walk.x, v[0]]
            yield "L", (v[0], v[1])
        case "A":
            yield from _arc(walk, v)
        case _:
            v = _cubic(walk, name, v)
            yield "C", tuple(v)
    walk.x, walk.y = v[-2], v[-1]


def _cubic(walk: _Walk, name: str, v: list[float]) -> list[float]:
    """C, S, Q and T as one cubic curve; remembers the handle."""
    if name in "QT":
        x1, y1 = walk.mirrored("QT") if name == "T" else (v[0], v[1])
        x, y = v[-2], v[-1]
        walk.handle = (x1, y1)
        return [
            walk.x + 2 / 3 * (x1 - walk.x),
            walk.y + 2 / 3 * (y1 - walk.y),
            x + 2 / 3 * (x1 - x),
            y + 2 / 3 * (y1 - y),
            x,
            y,
        ]
    if name == "S":
        v = [*walk.mirrored("CS"), *v]
    walk.handle = (v[2], v[3])
    return v


def _arc(walk: _Walk, v: list[float]) -> Iterator[Step]:
    """An elliptical arc as cubic curves (SVG 1.1, appendix F.6.5)."""
    rx, ry, degrees, large, sweep, x, y = abs(v[0]), abs(v[1]), *v[2:]
    if not rx or not ry or (x, y) == (walk.x, walk.y):
        yield "L", (x, y)
        return
    turn = math.radians(degrees)
    cos, sin = math.cos(turn), math.sin(turn)
    dx, dy = (walk.x - x) / 2, (walk.y - y) / 2
    px, py = cos * dx + sin * dy, -sin * dx + cos * dy
    grow = math.sqrt(max(1.0, (px / rx) ** 2 + (py / ry) ** 2))
    rx, ry = rx * grow, ry * grow
    spare = (rx * ry) ** 2 - (rx * py) ** 2 - (ry * px) ** 2
    root = math.sqrt(max(0.0, spare / ((rx * py) ** 2 + (ry * px) ** 2)))
    root = -root if bool(large) == bool(sweep) else root
    cx, cy = root * rx * py / ry, -root * ry * px / rx
    begin = math.atan2((py - cy) / ry, (px - cx) / rx)
    span = math.atan2((-py - cy) / ry, (-px - cx) / rx) - begin
    span += math.tau if sweep and span < 0 else -math.tau if not sweep and span > 0 else 0.0
    middle = ((walk.x + x) / 2, (walk.y + y) / 2)
    about: Matrix = (
        rx * cos, rx * sin, -ry * sin, ry * cos,
        cos * cx - sin * cy + middle[0], sin * cx + cos * cy + middle[1],
    )  # fmt: skip
    yield from moved(_unit_arc(begin, span), about)


def _unit_arc(begin: float, span: float) -> Iterator[Step]:
    pieces = max(1, math.ceil(abs(span) / (math.pi / 2) - 1e-9))
    part = span / pieces
    reach = 4 / 3 * math.tan(part / 4)
    for piece in range(pieces):
        one, two = begin + piece * part, begin + (piece + 1) * part
        c1, s1, c2, s2 = math.cos(one), math.sin(one), math.cos(two), math.sin(two)
        yield "C", (c1 - reach * s1, s1 + reach * c1, c2 + reach * s2, s2 - reach * c2, c2, s2)


def shape_steps(element: str, given: Mapping[str, str]) -> Iterator[Step]:
    """The outline of a basic shape (SVG 1.1, chapter 9). Corners of a rect are not rounded."""
    drawn: dict[str, Callable[[Mapping[str, str]], Iterator[Step]]] = {
        "path": lambda given: path_steps(given.get("d", "")),
        "polyline": lambda given: _joined(numbers(given.get("points", "")), closed=False),
        "polygon": lambda given: _joined(numbers(given.get("points", "")), closed=True),
        "line": lambda given: _joined(_lengths(given, "x1", "y1", "x2", "y2"), closed=False),
        "rect": _rect,
        "circle": _ellipse,
        "ellipse": _ellipse,
    }
    return drawn[element](given)


def _lengths(given: Mapping[str, str], *names: str) -> list[float]:
    return [length(given.get(name, "0")) for name in names]


def _joined(values: list[float], *, closed: bool) -> Iterator[Step]:
    if len(values) % 2:
        raise NotDrawn("a point lacks a number")
    for at in range(0, len(values), 2):
        yield "L" if at else "M", (values[at], values[at + 1])
    if closed and values:
        yield "Z", ()


def _rect(given: Mapping[str, str]) -> Iterator[Step]:
    x, y, width, height = _lengths(given, "x", "y", "width", "height")
    corners = [x, y, x + width, y, x + width, y + height, x, y + height]
    return _joined(corners, closed=True)


def _ellipse(given: Mapping[str, str]) -> Iterator[Step]:
    x, y, r, rx, ry = _lengths(given, "cx", "cy", "r", "rx", "ry")
    about: Matrix = (rx or r, 0.0, 0.0, ry or r, x, y)
    yield from moved(iter([("M", (1.0, 0.0))]), about)
    yield from moved(_unit_arc(0.0, math.tau), about)
    yield "Z", ()
