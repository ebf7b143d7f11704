"""The glyphs that must go, kept by the point on the page where each stands."""

from collections.abc import Iterable

_CELL = 1.0
_NEAR = 0.35
"""Two readers agree on a glyph's origin within this many points."""


class Targets:
    """Origins of glyphs in default user space (points, origin lower left), each with its mask.

    A target is hit when a reader of the content stream comes upon a code that
    starts at that point.
    """

    def __init__(self, origins: Iterable[tuple[float, float, str]]) -> None:
        self._origins = list(origins)
        self._cells: dict[tuple[int, int], list[int]] = {}
        self._hit: set[int] = set()
        self._masked = 0
        for number, (x, y, _) in enumerate(self._origins):
            self._cells.setdefault(_cell(x, y), []).append(number)

    def __len__(self) -> int:
        return len(self._origins)

    def mask_at(self, x: float, y: float) -> str | None:
        """The mask for a glyph that starts here, or None; notes the hit."""
        column, row = _cell(x, y)
        mask: str | None = None
        for near_column in (column - 1, column, column + 1):
            for near_row in (row - 1, row, row + 1):
                for number in self._cells.get((near_column, near_row), ()):
                    left, low, text = self._origins[number]
                    if abs(left - x) <= _NEAR and abs(low - y) <= _NEAR:
                        self._hit.add(number)
                        mask = text
        self._masked += mask is not None
        return mask

    @property
    def all_masked(self) -> bool:
        """Whether every target was met, and as many codes were masked as there are targets.

        A number printed twice over itself has two targets at each point.
        """
        return self._masked >= len(self._origins) and not self.missed

    def none_between(self, start: tuple[float, float], end: tuple[float, float]) -> bool:
        """Whether no target lies in the upright box around a stretch of the baseline."""
        low_x, high_x = min(start[0], end[0]) - _NEAR, max(start[0], end[0]) + _NEAR
        low_y, high_y = min(start[1], end[1]) - _NEAR, max(start[1], end[1]) + _NEAR
        return not any(low_x <= x <= high_x and low_y <= y <= high_y for x, y, _ in self._origins)

    @property
    def missed(self) -> int:
        """How many targets no code was found for."""
        return len(self._origins) - len(self._hit)


def _cell(x: float, y: float) -> tuple[int, int]:
    return int(x // _CELL), int(y // _CELL)
