"""A signature image as it is kept: its ink alone, coded anew, with nothing else in the file."""

import io
from dataclasses import dataclass, field
from pathlib import Path

from PIL import Image

from packets.base.limits import DEFAULT_LIMITS, Limits
from packets.signatures.artwork import artwork_of, image_bytes, is_drawing
from packets.signatures.svg_ink import clean_svg


@dataclass(frozen=True)
class CleanImage:
    """What is kept of an image."""

    png: bytes = field(repr=False)
    """Ink on nothing, without metadata."""
    svg: bytes = field(default=b"", repr=False)
    """Where the image is a drawing: the same ink as strokes."""


def clean_image(path: Path, limits: Limits = DEFAULT_LIMITS) -> CleanImage:
    """The image at `path` as it is kept. The same image gives the same bytes.

    Raises what `load_artwork` raises.
    """
    where = f"signatures/{path.name}"
    data = image_bytes(path, where, limits)
    artwork = artwork_of(data, where, limits)
    picture = Image.frombytes("RGBA", (artwork.width, artwork.height), artwork.rgba)
    target = io.BytesIO()
    picture.save(target, "PNG", optimize=True)
    svg = clean_svg(data, where) if is_drawing(data) else b""
    return CleanImage(target.getvalue(), svg)
