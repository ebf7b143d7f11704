"""Picture files: each picture in them as pixels, and the words and bytes beside the pixels."""

import io
import warnings
from collections.abc import Iterator

import numpy as np
from PIL import ExifTags, Image, ImageSequence

from packets.base.errors import Damaged, OverLimit
from packets.base.limits import Limits
from packets.outbound.carriers.found import Budget, Finding, Part, Sort, Text, Unread

PICTURE_STARTS = (b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"II*\0", b"MM\0*", b"GIF8", b"BM")
_MOST_FRAMES = 200
_SPARE = 16
_OPAQUE = (255, 255)
_NOT_WORDS = frozenset({"icc_profile", "exif", "transparency", "palette"})


def is_picture(data: bytes) -> bool:
    """Whether bytes begin as a picture file that is read here."""
    return data.startswith(PICTURE_STARTS) or (data[:4] == b"RIFF" and data[8:12] == b"WEBP")


def pictures_in(data: bytes, limits: Limits) -> Iterator[Image.Image]:
    """Every picture of a file, grey or RGB, and its transparency. Raises Damaged or OverLimit."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            with Image.open(io.BytesIO(data)) as file:
                for number, frame in enumerate(ImageSequence.Iterator(file)):
                    if number >= _MOST_FRAMES:
                        raise OverLimit("a picture file with too many pictures")
                    _demand_size(frame, limits)
                    yield from _layers(frame)
    except Image.DecompressionBombError:
        raise OverLimit("a picture with too many pixels") from None
    except (OSError, ValueError, SyntaxError, EOFError, MemoryError, TypeError, KeyError):
        raise Damaged("a picture that cannot be decoded") from None


def _demand_size(frame: Image.Image, limits: Limits) -> None:
    width, height = frame.size
    if width * height > limits.picture_pixels or max(frame.size) >= limits.picture_side:
        raise OverLimit("a picture with too many pixels")


def _layers(frame: Image.Image) -> Iterator[Image.Image]:
    if frame.mode.startswith(("I", "F")):
        yield _spread(frame)
        return
    see_through = "A" in frame.getbands() or "transparency" in frame.info
    if not see_through:
        yield frame.convert("L" if frame.mode in ("1", "L") else "RGB")
        return
    whole = frame.convert("RGBA")
    yield whole.convert("RGB")
    alpha = whole.getchannel("A")
    if alpha.getextrema() != _OPAQUE:
        yield alpha


def _spread(frame: Image.Image) -> Image.Image:
    """Deep greys spread over the 256 that are read: cut off, they would all be white."""
    samples = np.asarray(frame, dtype=np.float64)
    low, high = float(samples.min()), float(samples.max())
    if not np.isfinite(high - low):
        raise Damaged("a picture that cannot be decoded")
    spread = (samples - low) * (255.0 / (high - low or 1.0))
    return Image.fromarray(spread.astype(np.uint8))


def beside_pixels(data: bytes, budget: Budget) -> Finding:
    """Comments, camera data, small previews, and bytes behind the end of the picture."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            with Image.open(io.BytesIO(data)) as file:
                file.load()
                yield from _told(file)
    except Image.DecompressionBombError:
        raise OverLimit("a picture with too many pixels") from None
    except (OSError, ValueError, SyntaxError, EOFError, MemoryError, TypeError, KeyError):
        raise Damaged("a picture that cannot be decoded") from None
    end = _end(data)
    if end and data[end:].strip(b"\0\r\n ") and len(data) - end > _SPARE:
        yield Unread("bytes behind the end of the picture")
    inner = data.find(b"\xff\xd8\xff", 64)
    if data.startswith(b"\xff\xd8\xff") and inner > 0:
        budget.take(len(data) - inner)
        yield Part("a small picture inside the picture", data[inner:])


def _told(file: Image.Image) -> Iterator[Text]:
    told: list[str] = []
    for key, value in file.info.items():
        if isinstance(value, str):
            told.append(f"{key}: {value}")
        elif isinstance(value, bytes) and key not in _NOT_WORDS:
            told.append(f"{key}: {value.decode('utf-8', 'replace')}")
    exif = file.getexif()
    for group in (exif, exif.get_ifd(ExifTags.IFD.Exif), exif.get_ifd(ExifTags.IFD.GPSInfo)):
        for value in group.values():
            if isinstance(value, str):
                told.append(value)
            elif isinstance(value, bytes):
                told += [value.decode("latin-1"), value.decode("utf-16-le", "replace")]
    yield Text("words beside the picture", "\n".join(told), Sort.HIDDEN)
    yield Text("words beside the picture", "\n".join(told), Sort.JOINED)


def _end(data: bytes) -> int:
    """Where the picture ends; 0 where its kind does not tell."""
    if data.startswith(b"\x89PNG"):
        at = data.rfind(b"IEND")
        return at + 8 if at > 0 else 0
    if data.startswith(b"\xff\xd8\xff"):
        at = data.rfind(b"\xff\xd9")
        return at + 2 if at > 0 else len(data)
    return 0
