"""A signature picture as it is kept: its ink alone, coded anew, with nothing else in the file."""

import io
from pathlib import Path

from PIL import Image

from packets.base.limits import DEFAULT_LIMITS, Limits
from packets.signatures.artwork import load_artwork


def clean_png(path: Path, limits: Limits = DEFAULT_LIMITS) -> bytes:
    """The picture at `path` as a PNG of ink on nothing, without any metadata.

    The same picture gives the same bytes. Raises what `load_artwork` raises.
    """
    artwork = load_artwork(path, limits)
    picture = Image.frombytes("RGBA", (artwork.width, artwork.height), artwork.rgba)
    target = io.BytesIO()
    picture.save(target, "PNG", optimize=True)
    return target.getvalue()
