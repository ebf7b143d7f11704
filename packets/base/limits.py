"""How much of an input we promise to handle; beyond that it is refused, by name."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Limits:
    """Upper bounds for one input file. README.md states the same figures."""

    file_bytes: int = 512 * 1024 * 1024
    pages: int = 20_000
    picture_pixels: int = 120_000_000
    picture_side: int = 20_000
    """Longest side of a picture in pixels; a picture of this side or more is refused."""
    stream_bytes: int = 256 * 1024 * 1024
    """Decoded size of one PDF stream."""
    nesting: int = 50
    """Depth of forms inside forms, kids inside kids, arrays inside arrays."""
    objects: int = 2_000_000
    annotations: int = 4_000
    """Annotations and fields on one page."""


DEFAULT_LIMITS = Limits()
