"""The glyphs that go or move, kept by the point on the page where each stands."""

from collections.abc import Iterable, Iterator
from itertools import product
from typing import NamedTuple

_CELL = 1.0
_NEAR = 0.35
"""Two readers agree on a glyph's origin within this many points."""


class Place(NamedTuple):
    """One glyph by its origin in default user space (points, origin lower left)."""

    x: float
    y: float
    mask: str | None
    """The character that stands in for it; None: the glyph stays."""
    move: tuple[float, float] = (0.0, 0.0)
    """How far it, or its mask, is set from there."""
    cell: float | None = None
    """Width of the mask's cell in points; None: that of the glyph."""


class Targets:
    """Places on a page, met one by one.

    A place is met when a reader of the content stream comes upon a code that
    starts at that point. Those with a mask must be met; those that only move
    are moved where they are met.
    """

    def __init__(self, places: Iterable[Place]) -> None:
        self._places = list(places)
        self._near: dict[tuple[int, int], list[int]] = {}
        """By cell: the places in it and in the cells about it."""
        self._hit: set[int] = set()
        self._masks = sum(place.mask is not None for place in self._places)
        self._masked = 0
        self.moving = any(place.cell is not None or any(place.move) for place in self._places)
        """Whether text is set afresh, and not only masked where it stands."""
        cells: dict[tuple[int, int], list[int]] = {}
        for number, place in enumerate(self._places):
            cells.setdefault(_cell(place.x, place.y), []).append(number)
        self._lowest = min((place.y for place in self._places), default=0.0)
        self._highest = max((place.y for place in self._places), default=0.0)
        for column, row in sorted(cells):
            for about in _about(column, row):
                self._near.setdefault(about, []).extend(cells[column, row])

    def __len__(self) -> int:
        return len(self._places)

    def at(self, x: float, y: float) -> Place | None:
        """What becomes of a glyph that starts here, or None; notes the hit."""
        found: Place | None = None
        for number in self._near.get(_cell(x, y), ()):
            place = self._places[number]
            if abs(place.x - x) <= _NEAR and abs(place.y - y) <= _NEAR:
                self._hit.add(number)
                found = _stricter(found, place)
        self._masked += found is not None and found.mask is not None
        return found

    @property
    def all_masked(self) -> bool:
        """Whether every mask was met, and as many codes were masked as there are masks.

        A number printed twice over itself has two masks at each point.
        """
        return self._masked >= self._masks and not self.missed

    def none_between(self, start: tuple[float, float], end: tuple[float, float]) -> bool:
        """Whether no place lies in the upright box around a stretch of the baseline."""
        low_x, high_x = min(start[0], end[0]) - _NEAR, max(start[0], end[0]) + _NEAR
        low_y, high_y = min(start[1], end[1]) - _NEAR, max(start[1], end[1]) + _NEAR
        if high_y < self._lowest or low_y > self._highest:
            return True
        return not any(low_x <= p.x <= high_x and low_y <= p.y <= high_y for p in self._places)

    @property
    def missed(self) -> int:
        """How many masks no code was found for."""
        hit = sum(self._places[number].mask is not None for number in self._hit)
        return self._masks - hit


def _stricter(one: Place | None, other: Place) -> Place:
    """Of two places at one point, the one that masks."""
    return one if one is not None and (one.mask is not None or other.mask is None) else other


def _about(column: int, row: int) -> Iterator[tuple[int, int]]:
    """A cell and its neighbours: nothing that is near lies farther away."""
    return product((column - 1, column, column + 1), (row - 1, row, row + 1))


def _cell(x: float, y: float) -> tuple[int, int]:
    return int(x // _CELL), int(y // _CELL)
