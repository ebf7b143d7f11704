"""Words as they were read in a picture, letter by letter."""

from dataclasses import dataclass

Letter = tuple[str, float, float, float, float]
"""A character and its box in pixels: x0, y0, x1, y1."""


@dataclass(frozen=True)
class SpotWord:
    """One word, in the pixels of the picture that was read."""

    letters: tuple[Letter, ...]
    confidence: float
    """0 to 100, as the engine says."""
