"""Pictures on a page: the page drawn as pixels, and each picture as it lies there."""

import io
import re
import zlib
from dataclasses import dataclass

import pymupdf
from PIL import Image, ImageChops

from packets.base.errors import OverLimit
from packets.base.limits import DEFAULT_LIMITS

READ_DPI = 200
"""Resolution at which a page without text is drawn for OCR."""
_LARGEST_SIDE = 6000

_KNOWN_CODINGS = {
    "ASCIIHexDecode", "ASCII85Decode", "LZWDecode", "FlateDecode", "RunLengthDecode",
    "CCITTFaxDecode", "JBIG2Decode", "DCTDecode", "JPXDecode", "null",
    "AHx", "A85", "LZW", "Fl", "RL", "CCF", "DCT",
}  # fmt: skip
"""ISO 32000-2, Tables 6 and 92."""

_COLOURLESS = (("name", "/DeviceGray"), ("null", "null"))
"""Colour spaces without colours; a stencil has none, a JPEG 2000 picture may have its own."""
_UNDONE = {
    Image.Transpose.ROTATE_90: Image.Transpose.ROTATE_270,
    Image.Transpose.ROTATE_270: Image.Transpose.ROTATE_90,
}


@dataclass(frozen=True)
class PlacedPicture:
    """One picture as it lies on a page."""

    xref: int
    """Object number of the image; 0 for an inline picture."""
    width: int
    height: int
    """Its own size in pixels."""
    box: tuple[float, float, float, float]
    """Around it on the unrotated page, points, origin upper left."""
    turn: Image.Transpose | None
    """What makes the stored picture lie as the page shows it; None: it already does."""
    shown: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 0.0)
    """Around it on the page as shown, points, origin upper left."""


def page_picture(page: pymupdf.Page, dpi: int = READ_DPI) -> Image.Image | None:
    """The page as shown, in grey at `dpi`; None when nothing is drawn on it.

    A page so large that the picture would pass 6,000 pixels is drawn smaller.
    """
    longest = max(page.rect.width, page.rect.height, 1.0)
    scale = min(dpi / 72, _LARGEST_SIDE / longest)
    pixels = page.get_pixmap(
        matrix=pymupdf.Matrix(scale, scale), colorspace=pymupdf.csGRAY, alpha=False
    )
    picture = Image.frombytes("L", (pixels.width, pixels.height), pixels.samples)
    low, high = picture.getextrema()
    return None if low == high else picture


def placed_pictures(page: pymupdf.Page) -> tuple[PlacedPicture, ...]:
    """Every picture that the page draws, once per place, inside forms too.

    None at all when one of them is too broken for MuPDF to go on. Raises
    `OverLimit`: MuPDF decodes each to tell it from others.
    """
    try:
        for _, _, width, height, *_ in page.get_images():
            demand_size(width, height)
        infos = page.get_image_info(xrefs=True)
    except (RuntimeError, ValueError, pymupdf.mupdf.FzErrorBase):
        return ()
    return tuple(
        PlacedPicture(
            info["xref"],
            info["width"],
            info["height"],
            tuple(info["bbox"]),
            _turn(info["transform"], page.rotation_matrix),
            tuple(pymupdf.Rect(info["bbox"]) * page.rotation_matrix),
        )
        for info in infos
    )


def demand_size(width: int, height: int) -> None:
    """Raise `OverLimit` for a picture of so many pixels that it is not decoded."""
    if width * height > DEFAULT_LIMITS.picture_pixels:
        raise OverLimit(f"a picture of {width} x {height} pixels")


def full_page_picture(page: pymupdf.Page) -> PlacedPicture | None:
    """The picture of a scanned page: the only one, covering most of the page."""
    placed = placed_pictures(page)
    if len(placed) != 1 or not placed[0].xref:
        return None
    x0, y0, x1, y1 = placed[0].box
    bound = page.rect * page.derotation_matrix
    area = abs(bound.width * bound.height)
    return placed[0] if (x1 - x0) * (y1 - y0) >= 0.7 * area else None


def grey_pixels(document: pymupdf.Document, picture: PlacedPicture) -> Image.Image:
    """The stored picture in grey over white, turned as the page shows it.

    Raises `OverLimit` for a picture beyond the limits, before decoding it.
    """
    demand_size(picture.width, picture.height)
    grey = _decoded(document, picture.xref)
    mask = _mask_of(document, picture.xref)
    if mask is not None:
        larger = max(grey.size, mask.size)
        grey, mask = grey.resize(larger), mask.resize(larger)
        grey = Image.composite(grey, Image.new("L", larger, 255), mask)
    return grey.transpose(picture.turn) if picture.turn is not None else grey


def tones_of(document: pymupdf.Document, picture: PlacedPicture, grey: Image.Image) -> Image.Image:
    """The stored picture in its colours, turned as the page shows it; `grey` where it has none."""
    if document.xref_get_key(picture.xref, "ColorSpace") in _COLOURLESS:
        return grey
    colours = decoded_by_mupdf(document, picture.xref)
    if colours is None or colours.mode == "L":
        return grey
    return colours.transpose(picture.turn) if picture.turn is not None else colours


def may_be_broken(
    document: pymupdf.Document, picture: PlacedPicture, shown: Image.Image | None
) -> bool:
    """Whether the coding of a picture is unknown, or broken so that MuPDF shows plain black.

    `shown` is the picture as decoded. Plain black that another decoder confirms
    is what it is; for JBIG2 and JPEG 2000 there is no other.
    """
    names = re.findall(r"/(\w+)", document.xref_get_key(picture.xref, "Filter")[1])
    if not _KNOWN_CODINGS.issuperset(names):
        return True
    if shown is None or shown.getextrema() != (0, 0):
        return False
    return bool(names) and not _decodes(names, document.xref_stream_raw(picture.xref) or b"")


def _decodes(codings: list[str], raw: bytes) -> bool:
    """Whether a decoder besides MuPDF's takes the data."""
    try:
        if codings == ["DCTDecode"]:
            with Image.open(io.BytesIO(raw)) as jpeg:
                jpeg.load()
            return True
        if codings == ["FlateDecode"]:
            zlib.decompress(raw)
            return True
    except (OSError, ValueError, SyntaxError, zlib.error):
        return False
    return False


def hidden_layers(document: pymupdf.Document, picture: PlacedPicture) -> tuple[Image.Image, ...]:
    """For a picture with a mask: its own pixels and those of the mask, turned like it.

    Either may hold words that the two together do not show over white paper.
    """
    mask = _mask_of(document, picture.xref)
    if mask is None or mask.getextrema() == (255, 255):
        return ()
    own = _decoded(document, picture.xref)
    layers = [layer for layer in (own, ImageChops.invert(mask)) if len(set(layer.getextrema())) > 1]
    turn = picture.turn
    return tuple(layers if turn is None else [layer.transpose(turn) for layer in layers])


def _mask_of(document: pymupdf.Document, xref: int) -> Image.Image | None:
    """What shows of a picture: white where its soft mask or its stencil (8.9.6) lets it through."""
    for key in ("SMask", "Mask"):
        kind, value = document.xref_get_key(xref, key)
        if kind == "xref":
            grey = _decoded(document, int(value.split()[0]))
            return grey if key == "SMask" else ImageChops.invert(grey)
    return None


def undone(turn: Image.Transpose) -> Image.Transpose:
    """The turn that takes back `turn`."""
    return _UNDONE.get(turn, turn)


def decoded_by_mupdf(document: pymupdf.Document, xref: int) -> Image.Image | None:
    """A stored picture as MuPDF decodes it, in grey or RGB; None when it cannot."""
    try:
        pixels = pymupdf.Pixmap(document, xref)
        if pixels.colorspace is not None and not _says_what_is_seen(pixels.colorspace):
            pixels = pymupdf.Pixmap(pymupdf.csRGB, pixels)
        return _image(pixels)
    except (RuntimeError, ValueError, pymupdf.mupdf.FzErrorBase):
        return None


def _decoded(document: pymupdf.Document, xref: int) -> Image.Image:
    pixels = pymupdf.Pixmap(document, xref)
    space = pixels.colorspace
    if space is not None and (space.n != 1 or not _says_what_is_seen(space)):
        pixels = pymupdf.Pixmap(pymupdf.csGRAY, pixels)
    return _image(pixels)


def _says_what_is_seen(space: pymupdf.Colorspace) -> bool:
    """Whether samples are grey or RGB, and not so much of an ink that has a name, or of Lab."""
    return space.n in (1, 3) and not str(space.name).startswith(("Separation", "DeviceN", "Lab"))


def _image(pixels: pymupdf.Pixmap) -> Image.Image:
    if pixels.colorspace is None:  # a stencil: what it paints comes as alpha
        alpha = Image.frombytes("L", (pixels.width, pixels.height), pixels.samples)
        return ImageChops.invert(alpha)
    if pixels.alpha:
        pixels = pymupdf.Pixmap(pixels, 0)
    mode = "L" if pixels.colorspace.n == 1 else "RGB"
    return Image.frombytes(mode, (pixels.width, pixels.height), pixels.samples)


def _turn(transform: tuple[float, ...], rotation: pymupdf.Matrix) -> Image.Transpose | None:
    """From where the picture's axes point on the page as shown."""
    shown = pymupdf.Matrix(*transform) * rotation
    if abs(shown.a) >= abs(shown.b):
        right, down = shown.a >= 0, shown.d >= 0
        straight = {
            (True, True): None,
            (True, False): Image.Transpose.FLIP_TOP_BOTTOM,
            (False, True): Image.Transpose.FLIP_LEFT_RIGHT,
            (False, False): Image.Transpose.ROTATE_180,
        }
        return straight[right, down]
    x_down, y_right = shown.b >= 0, shown.c >= 0
    sideways = {
        (True, False): Image.Transpose.ROTATE_270,
        (False, True): Image.Transpose.ROTATE_90,
        (True, True): Image.Transpose.TRANSPOSE,
        (False, False): Image.Transpose.TRANSVERSE,
    }
    return sideways[x_down, y_right]
