"""Numbers drawn as shapes: no text and no picture, only paths (ISO 32000-2, 8.5)."""

from collections import defaultdict
from collections.abc import Callable

from packets.proving.copies import Copy
from packets.proving.glyph_pictures import picture_of
from packets.proving.nested_content import shape_form
from packets.proving.place import Place
from packets.proving.records import Told

_FAMILY = "drawn shapes"
_UNIT = 0.25
"""Points for one pixel of the picture that is traced."""
_WHITE = b"1 g 0 0 280 60 re f 0 g "

Plant = Callable[[Copy, str], None]
Point = tuple[int, int]


def _dark_cells(text: str) -> set[Point]:
    """Column and row, counted upward, of every dark pixel of a line of text."""
    picture = picture_of(text, (1000, 120), (20, 30))
    width, height, cells = picture.width, picture.height, picture.tobytes()
    return {(at % width, height - 1 - at // width) for at, value in enumerate(cells) if value < 128}


def _contours(cells: set[Point]) -> list[list[Point]]:
    """Closed lines around the dark cells, corners only."""
    onward: dict[Point, list[Point]] = defaultdict(list)
    for x, y in cells:
        if (x, y - 1) not in cells:
            onward[x, y].append((x + 1, y))
        if (x + 1, y) not in cells:
            onward[x + 1, y].append((x + 1, y + 1))
        if (x, y + 1) not in cells:
            onward[x + 1, y + 1].append((x, y + 1))
        if (x - 1, y) not in cells:
            onward[x, y + 1].append((x, y))
    lines: list[list[Point]] = []
    while onward:
        start = at = next(iter(onward))
        line = [start]
        while True:
            after = onward[at].pop()
            if not onward[at]:
                del onward[at]
            if len(line) > 1 and _is_straight(line[-2], line[-1], after):
                line.pop()
            line.append(after)
            at = after
            if at == start:
                break
        lines.append(line)
    return lines


def _is_straight(first: Point, second: Point, third: Point) -> bool:
    return first[0] == second[0] == third[0] or first[1] == second[1] == third[1]


def _path(line: list[Point]) -> bytes:
    points = [b"%.2f %.2f" % (x * _UNIT, y * _UNIT + 15) for x, y in line]
    return points[0] + b" m " + b" l ".join(points[1:]) + b" l h "


def _letters(number: str) -> list[bytes]:
    return [_path(line) for line in _contours(_dark_cells(f"Number {number} on file"))]


def _filled(copy: Copy, number: str) -> None:
    """All outlines in one path, filled by the even-odd rule so that holes stay open."""
    copy.show(_WHITE + b"".join(_letters(number)) + b"f*")


def _stroked(copy: Copy, number: str) -> None:
    copy.show(_WHITE + b"0.6 w 0 G " + b"".join(path + b"S " for path in _letters(number)))


def _rows(copy: Copy, number: str) -> None:
    """As thin rectangles, a run of dark cells each."""
    cells = _dark_cells(f"Number {number} on file")
    runs = [
        b"%.2f %.2f %.2f %.2f re f" % (x * _UNIT, y * _UNIT + 15, _run(cells, x, y), _UNIT + 0.02)
        for x, y in sorted(cells)
        if (x - 1, y) not in cells
    ]
    copy.show(_WHITE + b"\n".join(runs))


def _run(cells: set[Point], x: int, y: int) -> float:
    length = 1
    while (x + length, y) in cells:
        length += 1
    return length * _UNIT


def _in_a_form(copy: Copy, number: str) -> None:
    form = shape_form(copy, _WHITE + b"".join(_letters(number)) + b"f*")
    copy.show(copy.resource("XObject", form).encode() + b" Do")


def _one_form_each(copy: Copy, number: str) -> None:
    """Every outline in a form of its own."""
    copy.show(_WHITE)
    for line in _contours(_dark_cells(number.replace("-", ""))):
        form = shape_form(copy, _path(line) + b"f")
        copy.show(copy.resource("XObject", form).encode() + b" Do")


def _as_a_clip(copy: Copy, number: str) -> None:
    """The outlines clip, and a black rectangle shows through them."""
    copy.show(_WHITE + b"".join(_letters(number)) + b"W* n 0 g 0 0 280 60 re f")


_KNOWN = Told.KNOWN
PLACES = (
    Place(_FAMILY, "filled outlines", _filled),
    Place(_FAMILY, "stroked outlines", _stroked, _KNOWN),
    Place(_FAMILY, "rows of thin rectangles", _rows),
    Place(_FAMILY, "outlines in a form", _in_a_form, _KNOWN),
    Place(_FAMILY, "each outline in a form of its own", _one_form_each, _KNOWN),
    Place(_FAMILY, "outlines that clip", _as_a_clip, _KNOWN),
)
