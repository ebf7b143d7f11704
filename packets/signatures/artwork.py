"""A signature image file becomes ink on nothing: upright, without its paper, trimmed."""

import io
import struct
import warnings
import zlib
from pathlib import Path

from PIL import Image, ImageOps

from packets.base.canonical import sha256_hex
from packets.base.errors import Damaged, InputRefused, OverLimit
from packets.base.limits import DEFAULT_LIMITS, Limits
from packets.signatures.ink import lift_ink
from packets.signatures.records import Artwork
from packets.signatures.svg_ink import svg_artwork

SIGNATURE_PIXELS = 50_000_000
"""More than any telephone's picture of a signature needs; keeps memory under a gigabyte."""
SMALLEST_SIDE = 8
LONGEST_SIDE = 2400
"""Pixels kept: four inches at 600 dots an inch."""
MAGIC = {b"\x89PNG\r\n\x1a\n": "PNG", b"\xff\xd8\xff": "JPEG"}
PNG_ANIMATION = b"acTL"
DECODER_ERRORS = (
    OSError,
    SyntaxError,  # Pillow's PNG reader raises this for a broken chunk
    ValueError,
    TypeError,
    IndexError,
    EOFError,
    OverflowError,
    MemoryError,
    struct.error,
    zlib.error,
)


def load_artwork(path: Path, limits: Limits = DEFAULT_LIMITS) -> Artwork:
    """Read a signature image: PNG, JPEG, or a drawing of strokes as SVG, which stays one.

    White or lightly shaded paper becomes transparent, the ink keeps its colour,
    the image is turned as its EXIF data says and trimmed to the ink.

    Raises Damaged (broken, cut off, or another kind of file), OverLimit (too
    large), or InputRefused (animated, too small, dark paper, no ink).
    """
    where = f"signatures/{path.name}"
    return artwork_of(image_bytes(path, where, limits), where, limits)


def artwork_of(data: bytes, where: str, limits: Limits = DEFAULT_LIMITS) -> Artwork:
    """The same for bytes that were read already; `where` is only named in messages."""
    if is_drawing(data):
        return svg_artwork(data, where)
    with warnings.catch_warnings():
        # Pixels are counted below, before anything is decoded.
        warnings.simplefilter("ignore")
        upright = _decode(data, where, limits)
    ink = lift_ink(upright, where)
    return Artwork(ink.width, ink.height, ink.tobytes(), sha256_hex(data))


def is_drawing(data: bytes) -> bool:
    """Whether the bytes of an image are XML and not a picture."""
    return data[:200].removeprefix(b"\xef\xbb\xbf").lstrip().startswith(b"<")


def image_bytes(path: Path, where: str, limits: Limits) -> bytes:
    """The file of an image. Raises Damaged for another kind of file, OverLimit for a large one."""
    try:
        if path.stat().st_size > limits.file_bytes:
            raise OverLimit("this image file is too large", where=where)
        data = path.read_bytes()
    except OSError as problem:
        raise Damaged("this image file cannot be read", where=where) from problem
    if not is_drawing(data) and not any(data.startswith(magic) for magic in MAGIC):
        raise Damaged(
            "a signature image is a PNG, JPEG or SVG file, and this is none of them", where=where
        )
    return data


def _decode(data: bytes, where: str, limits: Limits) -> Image.Image:
    try:
        with Image.open(io.BytesIO(data), formats=tuple(MAGIC.values())) as image:
            _check_size(image, where, limits)
            if image.format == "PNG" and getattr(image, "n_frames", 1) > 1:
                raise InputRefused(
                    "this image is animated; which picture is the signature is not ours to guess",
                    where=where,
                )
            # A JPEG decodes straight to a half, quarter or eighth where it is far too large.
            image.draft(None, (LONGEST_SIDE, LONGEST_SIDE))
            image.load()
            return _on_white(_upright(image))
    except Image.DecompressionBombError as problem:
        raise OverLimit("this image has too many pixels", where=where) from problem
    except DECODER_ERRORS as problem:
        raise Damaged("this image is broken or cut off", where=where) from problem


def _check_size(image: Image.Image, where: str, limits: Limits) -> None:
    width, height = image.size
    if max(width, height) >= limits.picture_side:
        raise OverLimit(
            f"a side of {max(width, height)} pixels is too long for a signature", where=where
        )
    if width * height > min(SIGNATURE_PIXELS, limits.picture_pixels):
        raise OverLimit(f"{width} x {height} pixels are too many for a signature", where=where)
    if min(width, height) < SMALLEST_SIDE:
        raise InputRefused(f"{width} x {height} pixels cannot hold a signature", where=where)


def _upright(image: Image.Image) -> Image.Image:
    try:
        turned = ImageOps.exif_transpose(image)
    except DECODER_ERRORS:
        return image  # unreadable camera data says nothing about which way is up
    factor = max(1, max(turned.size) // LONGEST_SIDE)
    if factor == 1 or turned.mode in ("P", "1", "I;16", "I;16B", "I"):
        return turned
    return turned.reduce(factor)


def _on_white(image: Image.Image) -> Image.Image:
    """The image as it looks on white paper, in RGB, no side over LONGEST_SIDE."""
    if image.mode in ("I;16", "I;16B", "I;16L", "I"):
        # Sixteen-bit grey: the high byte is the picture.
        grey = image.convert("I").point(lambda value: value * (1 / 256) + 0)
        image = grey.convert("L")
    if image.mode in ("RGBA", "LA", "PA", "RGBa", "La") or "transparency" in image.info:
        image = image.convert("RGBA")
        white = Image.new("RGBA", image.size, (255, 255, 255, 255))
        image = Image.alpha_composite(white, image)
    image = image.convert("RGB")
    image.thumbnail((LONGEST_SIDE, LONGEST_SIDE), Image.Resampling.LANCZOS)
    return image
