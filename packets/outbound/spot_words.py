"""Words as they were read in a picture, letter by letter."""

from dataclasses import dataclass

SHARP_SIDE = 1200
"""Pixels of the longer side from which on digits of a picture are known by their shapes."""

Letter = tuple[str, float, float, float, float]
"""A character and its box in pixels: x0, y0, x1, y1."""


@dataclass(frozen=True)
class SpotWord:
    """One word, in the pixels of the picture that was read."""

    letters: tuple[Letter, ...]
    confidence: float
    """0 to 100, as the engine says."""
