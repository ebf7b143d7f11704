"""PNG, JPEG and TIFF files as PDF pages: upright, in their own size, nothing but the picture."""

import io
import math
import warnings
from collections.abc import Iterator
from dataclasses import dataclass

from PIL import Image, ImageOps, UnidentifiedImageError

from packets.base.errors import Damaged, InputRefused, OverLimit
from packets.base.limits import Limits
from packets.intake.jpeg_segments import (
    JpegFormatError,
    adobe_transform,
    stored_as_rgb,
    without_extras,
)
from packets.intake.pdf_documents import TakenPdf
from packets.intake.picture_pages import PictureStream, Placed, flate_stream, pages_of, placed

_FORMATS = {"image/png": "PNG", "image/jpeg": "JPEG", "image/tiff": "TIFF"}
_MOST_FRAMES = 2_000
_MOST_PIXELS_IN_ALL = 40
"""All frames of one file together may have this many times the pixels of the largest picture."""
_ORIENTATION = 0x0112
_TURNS = {1: 0, 3: 180, 6: 90, 8: 270}
"""EXIF orientations without a mirror, and the degrees clockwise that set them right."""
_SIDEWAYS = range(5, 9)
"""EXIF orientations that exchange width and height."""
_SIXTEEN_BITS = ("I;16", "I;16L", "I;16B", "I;16N", "I")
_NO_PICTURE = (
    # What Pillow raises for broken files, according to where it notices.
    OSError,
    SyntaxError,
    ValueError,
    TypeError,
    KeyError,
    IndexError,
    AttributeError,
    EOFError,
    OverflowError,
    ZeroDivisionError,
    NotImplementedError,
    UnidentifiedImageError,
)


def take_picture(data: bytes, media: str, shown: str, limits: Limits) -> TakenPdf:
    """One page for each frame. Raises `Damaged`, `OverLimit` or `InputRefused`.

    Sizes are read from the headers and judged before a pixel is decoded.
    Deterministic: the same file gives the same PDF bytes.
    """
    with warnings.catch_warnings():
        # Pillow's own bound is a process-wide setting; ours is judged frame by frame.
        warnings.simplefilter("ignore")
        try:
            with Image.open(io.BytesIO(data), formats=(_FORMATS[media],)) as image:
                return _pages(image, data, media, shown, limits)
        except Image.DecompressionBombError:
            raise _too_large(shown, limits) from None
        except _NO_PICTURE:
            raise Damaged(
                "the picture is damaged or cut off", where=shown, remedy="Scan or export it again."
            ) from None
        except (MemoryError, RecursionError):
            raise _too_large(shown, limits) from None


def _pages(image: Image.Image, data: bytes, media: str, shown: str, limits: Limits) -> TakenPdf:
    pictures: list[tuple[PictureStream, Placed]] = []
    notes: dict[str, None] = {}
    for frame, header in _frames(image, media, shown, limits):
        picture = None
        if media == "image/jpeg" and header.orientation in _TURNS:
            picture = _same_jpeg(frame, data, _TURNS[header.orientation])
        if picture is None:
            upright = ImageOps.exif_transpose(frame)
            plain, note = _plain(upright, shown)
            picture = flate_stream(plain)
            notes |= {note: None} if note else {}
        place = placed(picture.upright, header.resolution)
        if header.orientation > 1:
            notes["turned upright, as its orientation mark asks"] = None
        if place.note:
            notes[place.note] = None
        pictures.append((picture, place))
    return TakenPdf(pages_of(pictures), len(pictures), tuple(notes))


@dataclass(frozen=True)
class _Header:
    """What a frame says of itself before it is decoded (decoding may turn a TIFF)."""

    resolution: tuple[float, float] | None
    """Dots per inch across and down the upright picture."""
    orientation: int


def _frames(
    image: Image.Image, media: str, shown: str, limits: Limits
) -> Iterator[tuple[Image.Image, _Header]]:
    """Every frame, each judged by its header and then decoded; TIFF alone may have several."""
    if media == "image/png" and getattr(image, "n_frames", 1) > 1:
        raise InputRefused(
            "this picture is animated",
            where=shown,
            remedy="Save the frames that matter as single pictures.",
        )
    most = min(_MOST_FRAMES, limits.pages) if media == "image/tiff" else 1
    total = number = 0
    while True:
        try:
            image.seek(number)
        except EOFError:
            return
        number += 1
        total += image.width * image.height
        if number > most or total > limits.picture_pixels * _MOST_PIXELS_IN_ALL:
            raise OverLimit("the file holds too many pictures", where=shown)
        yield _decoded(image, shown, limits)
        if media == "image/jpeg":
            return  # what stands behind the first picture of a JPEG is not part of it


def _decoded(image: Image.Image, shown: str, limits: Limits) -> tuple[Image.Image, _Header]:
    _judge_size(image.size, shown, limits)
    resolution, orientation = _resolution(image), _orientation(image)
    if resolution is not None and orientation in _SIDEWAYS:
        resolution = (resolution[1], resolution[0])
    image.load()
    return image, _Header(resolution, orientation)


def _judge_size(size: tuple[int, int], shown: str, limits: Limits) -> None:
    width, height = size
    if width < 1 or height < 1:
        raise ValueError("a picture without pixels")  # becomes Damaged
    if max(size) >= limits.picture_side or width * height > limits.picture_pixels:
        raise _too_large(shown, limits)


def _too_large(shown: str, limits: Limits) -> OverLimit:
    return OverLimit(
        f"the picture is larger than {limits.picture_side:,} pixels a side or "
        f"{limits.picture_pixels // 1_000_000} million pixels",
        where=shown,
        remedy="Scan it at a lower resolution (300 dots per inch is plenty).",
    )


def _resolution(image: Image.Image) -> tuple[float, float] | None:
    """Dots per inch as the file says, or None."""
    try:
        across, down = (float(value) for value in image.info["dpi"][:2])
    except (KeyError, TypeError, ValueError, ZeroDivisionError, IndexError):
        return None
    return (across, down) if math.isfinite(across) and math.isfinite(down) else None


def _orientation(image: Image.Image) -> int:
    try:
        value = image.getexif().get(_ORIENTATION, 1)
    except _NO_PICTURE:
        return 1
    return value if isinstance(value, int) and 1 <= value <= 8 else 1


def _same_jpeg(image: Image.Image, data: bytes, turn: int) -> PictureStream | None:
    """The picture's own compressed data; None where a PDF reader might show other colours.

    The page turns it upright, so that a photograph neither loses nor grows.
    """
    try:
        transform = adobe_transform(data)
        unusual = stored_as_rgb(data) or transform not in (None, 1)
        plain = without_extras(data)
    except JpegFormatError:
        return None
    if image.mode == "L":
        colour_space = "/DeviceGray"
    elif image.mode == "RGB" and not unusual:
        colour_space = "/DeviceRGB"
    else:
        return None  # CMYK and unusual colour transforms need the marks we take out
    return PictureStream(plain, image.size, colour_space, 8, "/DCTDecode", turn=turn)


def _plain(image: Image.Image, shown: str) -> tuple[Image.Image, str]:
    """The same picture in mode 1, L or RGB, with what had to change in words."""
    mode = image.mode
    if mode in ("1", "L", "RGB"):
        if "transparency" not in image.info:
            return image, ""
        return _on_white(image.convert("RGBA"))
    if mode in _SIXTEEN_BITS:
        return _eight_bits(image), "reduced from 16 to 8 bits for each dot"
    if mode == "P" and "transparency" not in image.info:
        return image.convert("RGB"), ""
    if mode in ("LA", "La", "PA", "P", "RGBA", "RGBa", "RGBX"):
        return _on_white(image.convert("RGBA"))
    if mode in ("CMYK", "YCbCr", "LAB", "HSV"):
        return image.convert("RGB"), f"colours changed from {mode} to RGB"
    raise InputRefused(
        "the picture has a kind of dots that cannot be shown on paper",
        where=shown,
        remedy="Save it as an ordinary grey or colour picture with 8 bits for each dot.",
    )


def _on_white(image: Image.Image) -> tuple[Image.Image, str]:
    ground = Image.new("RGBA", image.size, (255, 255, 255, 255))
    ground.alpha_composite(image)
    return ground.convert("RGB"), "transparent places became white"


def _eight_bits(image: Image.Image) -> Image.Image:
    wide = image.convert("I") if image.mode != "I" else image
    return wide.point(lambda value: value * (1 / 256)).convert("L")
