"""Barcodes in a picture, decoded."""

import zxingcpp
from PIL import Image

from packets.base.secret import Secret
from packets.reading.records import Barcode


def read_barcodes(picture: Image.Image) -> tuple[Barcode, ...]:
    """Every barcode that decodes, in any direction; corners in pixels of `picture`."""
    grey = picture if picture.mode == "L" else picture.convert("L")
    found = []
    for result in zxingcpp.read_barcodes(grey, try_rotate=True, try_downscale=True):
        where = result.position
        corners = tuple(
            (float(corner.x), float(corner.y))
            for corner in (where.top_left, where.top_right, where.bottom_right, where.bottom_left)
        )
        raw = result.bytes.decode("latin-1", "replace")
        content = result.text if result.text else raw
        found.append(Barcode(str(result.format), Secret(content), corners))
    return tuple(found)
