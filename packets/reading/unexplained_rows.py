"""Boxes that touch, and boxes that follow one another like letters in a line."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from packets.base.errors import OverLimit

Box = tuple[float, float, float, float]

_SHARED = 0.5
"""Share of the smaller height by which neighbours in a row overlap."""
_ALIKE = 3.0
"""How much taller one letter of a row may be than its neighbour."""
_REACH = 2.5
"""Greatest gap between neighbours, in heights of the taller one: cells of a form are wide."""
_SMALLER = 0.6
_OPEN_ROWS = 64
_MOST_COMPARED = 4_000_000


@dataclass(frozen=True, slots=True, repr=False)
class Part:
    """A box, and how much of a letter it is."""

    box: Box
    weight: float
    outline: bool = False
    """One outline, and not strokes or dots put together."""


def around(boxes: Iterable[Box]) -> Box:
    """The smallest box that holds all."""
    left, top, right, bottom = zip(*boxes, strict=True)
    return min(left), min(top), max(right), max(bottom)


def clusters(parts: Sequence[Part], gap: float) -> list[list[Part]]:
    """Parts nearer to one another than `gap`, together.

    Raises `OverLimit` where too many lie in one another's way to be compared.
    """
    compared = 0
    order = sorted(range(len(parts)), key=lambda k: parts[k].box[0])
    parent = list(range(len(parts)))
    open_parts: list[int] = []
    for k in order:
        x0, y0, _, y1 = parts[k].box
        open_parts = [other for other in open_parts if parts[other].box[2] + gap >= x0]
        compared += len(open_parts)
        if compared > _MOST_COMPARED:
            raise OverLimit("more drawn shapes in one place than can be looked through")
        for other in open_parts:
            box = parts[other].box
            if box[1] - gap <= y1 and y0 <= box[3] + gap:
                parent[_root(parent, other)] = _root(parent, k)
        open_parts.append(k)
    members: dict[int, list[Part]] = {}
    for k, part in enumerate(parts):
        members.setdefault(_root(parent, k), []).append(part)
    return list(members.values())


def _root(parent: list[int], at: int) -> int:
    while parent[at] != at:
        parent[at] = parent[parent[at]]
        at = parent[at]
    return at


def placed_box(box: Box, *, across: bool) -> Box:
    """The box, or the one with x and y exchanged."""
    return (box[1], box[0], box[3], box[2]) if across else box


def rows_of(parts: Sequence[Part], *, across: bool) -> Iterator[list[Part]]:
    """Parts of like height that follow one another to the right; `across`: downward."""
    placed = [(*placed_box(part.box, across=across), part) for part in parts]
    placed.sort(key=lambda item: item[0])
    rows: list[tuple[list[Part], float, float, float]] = []
    for x0, y0, x1, y1, part in placed:
        best: tuple[float, int] | None = None
        for at in range(len(rows) - 1, max(-1, len(rows) - _OPEN_ROWS), -1):
            _, end, top, bottom = rows[at]
            small, large = sorted((max(y1 - y0, 0.1), max(bottom - top, 0.1)))
            shared = min(bottom, y1) - max(top, y0)
            follows = shared >= _SHARED * small and x0 - end <= _REACH * large
            if follows and large <= _ALIKE * small and (best is None or large / small < best[0]):
                best = large / small, at
        if best is None:
            rows.append(([part], x1, y0, y1))
        else:
            members, end, top, bottom = rows.pop(best[1])
            members.append(part)
            low_mark = y1 - y0 < _SMALLER * (bottom - top)  # a comma: no measure of the line
            level = (top, bottom) if low_mark else (y0, y1)
            rows.append((members, max(end, x1), *level))
    for members, *_ in rows:
        yield members


def runs_of_bars(bars: Sequence[Part], *, across: bool, width: float) -> Iterator[list[Part]]:
    """Bars of one height at one level that follow one another, none wider or farther than `width`.

    `across`: bars that lie on top of one another.
    """
    levels: dict[tuple[int, int], list[tuple[float, float, Part]]] = {}
    for bar in bars:
        x0, y0, x1, y1 = placed_box(bar.box, across=across)
        if x1 - x0 <= width:
            levels.setdefault((round(2 * y0), round(2 * y1)), []).append((x0, x1, bar))
    for level in levels.values():
        level.sort(key=lambda item: item[0])
        run: list[Part] = []
        end = 0.0
        for x0, x1, bar in level:
            if run and x0 - end > width:
                yield run
                run = []
            run.append(bar)
            end = max(end, x1) if len(run) > 1 else x1
        yield run
