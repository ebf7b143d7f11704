"""Bring the pictures of a PDF down so that it fits a message, within a stated quality.

What is touched: pictures with eight bits for each colour that are shown at more than
150 dots an inch, or that become smaller as JPEG of the asked quality. What is not:
pictures of one bit (small already, and JPEG blurs them), stencils, colour-key masks,
unusual colour spaces, soft masks, JPEG 2000. Text and drawings stay as they are, and a
small printed digit stays legible: 150 dots an inch are 12 dots for the height of 6-point
type. Doing it twice makes nothing smaller.
"""

import io
from dataclasses import dataclass, field

import pikepdf
import pymupdf
from PIL import Image

from packets.base.errors import OurFault

DOTS_AN_INCH = 150
QUALITIES = (80, 60)
"""JPEG qualities, tried in this order; the last is the floor."""
_WORTH_IT = 20_000
"""Bytes; smaller pictures are left alone."""
_SMALLER = 0.9
_MODES = {"L": pikepdf.Name.DeviceGray, "RGB": pikepdf.Name.DeviceRGB}
_LEFT_ALONE = ("/Mask", "/Decode", "/ImageMask", "/Alternates", "/SMaskInData")
_UNDECODABLE = (pikepdf.PdfError, OSError, ValueError, TypeError, KeyError, NotImplementedError)


@dataclass(frozen=True)
class Slimmed:
    """A PDF whose pictures were brought down."""

    pdf: bytes = field(repr=False)
    pictures: int
    """How many became smaller."""


def slim_pictures(pdf: bytes, quality: int) -> Slimmed:
    """The PDF with large pictures at 150 dots an inch and as JPEG of this quality.

    The same input gives the same bytes. Raises `OurFault` for a PDF that does not open:
    what comes here was made by us.
    """
    shown = _shown_at(pdf)
    try:
        with pikepdf.open(io.BytesIO(pdf)) as opened:
            changed = sum(
                _slim(item, shown.get(item.objgen[0], 0.0), quality)
                for item in opened.objects
                if isinstance(item, pikepdf.Stream) and _may_change(item)
            )
            if not changed:
                return Slimmed(pdf, 0)
            target = io.BytesIO()
            opened.save(
                target,
                deterministic_id=True,
                object_stream_mode=pikepdf.ObjectStreamMode.generate,
                stream_decode_level=pikepdf.StreamDecodeLevel.none,
            )
    except (pikepdf.PdfError, pikepdf.PasswordError):
        raise OurFault("a masked document cannot be opened to bring its pictures down") from None
    return Slimmed(target.getvalue(), changed)


def _shown_at(pdf: bytes) -> dict[int, float]:
    """Dots an inch of each picture where it is shown largest, by object number."""
    found: dict[int, float] = {}
    try:
        with pymupdf.open(stream=pdf, filetype="pdf") as document:
            for page in document:
                for picture in page.get_image_info(xrefs=True):
                    x0, y0, x1, y1 = picture["bbox"]
                    inches = max(abs(x1 - x0), abs(y1 - y0)) / 72
                    if inches > 0:
                        dots = max(picture["width"], picture["height"]) / inches
                        number = picture["xref"]
                        found[number] = min(dots, found.get(number, dots))
    except (RuntimeError, ValueError):
        raise OurFault("a masked document cannot be opened to see its pictures") from None
    return found


def _may_change(item: pikepdf.Stream) -> bool:
    return (
        item.get("/Subtype") == pikepdf.Name.Image
        and item.get("/BitsPerComponent") == 8
        and not any(key in item for key in _LEFT_ALONE)
        and len(item.read_raw_bytes()) >= _WORTH_IT
        and not _is_soft_mask_with_matte(item)
    )


def _is_soft_mask_with_matte(item: pikepdf.Stream) -> bool:
    """Colours that were multiplied beforehand must keep the size of their mask (11.6.5.2)."""
    mask = item.get("/SMask")
    return isinstance(mask, pikepdf.Stream) and "/Matte" in mask


def _slim(item: pikepdf.Stream, dots: float, quality: int) -> bool:
    """Put a smaller coding of the same picture in its place; False where there is none."""
    if dots <= 0:  # shown nowhere, or used as a soft mask
        return False
    picture = _decoded(item)
    if picture is None:
        return False
    if dots > DOTS_AN_INCH:
        scale = DOTS_AN_INCH / dots
        size = (max(1, round(picture.width * scale)), max(1, round(picture.height * scale)))
        picture = picture.resize(size, Image.Resampling.LANCZOS)
    target = io.BytesIO()
    picture.save(target, "JPEG", quality=quality, optimize=True)
    coded = target.getvalue()
    if len(coded) > len(item.read_raw_bytes()) * _SMALLER:
        return False
    item.Width, item.Height = picture.width, picture.height
    if not _is_profile_for(item.get("/ColorSpace"), len(picture.getbands())):
        item.ColorSpace = _MODES[picture.mode]
    item.write(coded, filter=pikepdf.Name.DCTDecode)
    return True


def _decoded(item: pikepdf.Stream) -> Image.Image | None:
    """The picture in grey or RGB, or None for a coding or colour space that is left alone."""
    try:
        picture = pikepdf.PdfImage(item).as_pil_image()
        # The soft mask is an object of its own and stays; here only the colours count.
        plain = {"P": "RGB", "RGBA": "RGB", "LA": "L"}.get(picture.mode)
        if plain is not None:
            picture = picture.convert(plain)
        picture.load()
    except _UNDECODABLE:
        return None
    return picture if picture.mode in _MODES else None


def _is_profile_for(space: pikepdf.Object | None, bands: int) -> bool:
    """Whether a colour space is a profile that goes on describing the new samples."""
    return (
        isinstance(space, pikepdf.Array)
        and len(space) == 2
        and space[0] == pikepdf.Name.ICCBased
        and int(space[1].get("/N", 0)) == bands
    )
