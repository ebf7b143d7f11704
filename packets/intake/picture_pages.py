"""Drawing pictures onto PDF pages of their own size, bit for bit and without extras."""

import io
import struct
from collections.abc import Iterator
from dataclasses import dataclass

import pikepdf
from PIL import Image

LETTER = (8.5, 11.0)
"""Inches."""
_LARGEST_SIDE = 24.0
_SMALLEST_SIDE = 0.2
"""Inches. A picture said to be larger or smaller than this has a wrong resolution."""
_RESOLUTIONS = (50.0, 2500.0)
_PNG_HEADER = 8
_COLOUR_SPACES = {0: "/DeviceGray", 2: "/DeviceRGB"}


@dataclass(frozen=True)
class Placed:
    """How large a picture is on its page."""

    width: float
    height: float
    """Points."""
    note: str = ""


@dataclass(frozen=True)
class PictureStream:
    """One picture as a PDF stream: its data, and the keys that say how to read it."""

    data: bytes
    pixels: tuple[int, int]
    colour_space: str
    bits: int
    filter: str
    parameters: tuple[tuple[str, int], ...] = ()
    turn: int = 0
    """Degrees clockwise by which the page turns the picture upright: 0, 90, 180 or 270."""

    @property
    def upright(self) -> tuple[int, int]:
        """Pixels across and down as shown on the page."""
        across, down = self.pixels
        return (down, across) if self.turn % 180 else (across, down)


def placed(pixels: tuple[int, int], resolution: tuple[float, float] | None) -> Placed:
    """The page size of a picture: pixels / resolution * 72 points.

    Where the resolution is missing or gives a page that no paper has (telephones
    write 72 for anything), the picture is fitted to Letter, upright or lying.
    """
    if resolution is not None and _sane(pixels, resolution):
        across, down = resolution
        return Placed(pixels[0] / across * 72.0, pixels[1] / down * 72.0)
    wide = pixels[0] > pixels[1]
    width, height = reversed(LETTER) if wide else LETTER
    assumed = max(pixels[0] / width, pixels[1] / height)
    assumed = min(max(assumed, _RESOLUTIONS[0]), _RESOLUTIONS[1])
    note = f"no usable resolution; placed at {assumed:.0f} dots per inch to fit Letter paper"
    return Placed(pixels[0] / assumed * 72.0, pixels[1] / assumed * 72.0, note)


def _sane(pixels: tuple[int, int], resolution: tuple[float, float]) -> bool:
    low, high = _RESOLUTIONS
    if not all(low <= value <= high for value in resolution):  # also false for NaN
        return False
    sides = [count / value for count, value in zip(pixels, resolution, strict=True)]
    return max(sides) <= _LARGEST_SIDE and min(sides) >= _SMALLEST_SIDE


def flate_stream(image: Image.Image) -> PictureStream:
    """A picture of mode 1, L or RGB, compressed without loss.

    The compressed rows of a PNG file are what /FlateDecode with PNG predictors
    reads (ISO 32000-2, 7.4.4.4), so Pillow's PNG writer does the work; only its
    IDAT data is kept.
    """
    target = io.BytesIO()
    image.save(target, format="PNG", compress_level=6)
    header, rows = b"", []
    for kind, content in _png_chunks(target.getvalue()):
        if kind == b"IHDR":
            header = content
        elif kind == b"IDAT":
            rows.append(content)
    width, height, bits, colour = struct.unpack(">IIBB", header[:10])
    parameters = (
        ("/Predictor", 15),
        ("/Colors", 3 if colour == 2 else 1),
        ("/BitsPerComponent", bits),
        ("/Columns", width),
    )
    return PictureStream(
        b"".join(rows), (width, height), _COLOUR_SPACES[colour], bits, "/FlateDecode", parameters
    )


def _matrix(place: Placed, turn: int) -> str:
    """The transformation that lays the unit square of a picture on its page, turned."""
    width, height = f"{place.width:.4f}", f"{place.height:.4f}"
    return {
        0: f"{width} 0 0 {height} 0 0",
        90: f"0 -{height} {width} 0 0 {height}",
        180: f"-{width} 0 0 -{height} {width} {height}",
        270: f"0 {height} -{width} 0 {width} 0",
    }[turn]


def _png_chunks(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    at = _PNG_HEADER
    while at + 8 <= len(data):
        length = int.from_bytes(data[at : at + 4], "big")
        yield data[at + 4 : at + 8], data[at + 8 : at + 8 + length]
        at += length + 12


def pages_of(pictures: list[tuple[PictureStream, Placed]]) -> bytes:
    """A PDF with one page for each picture: the same bytes for the same pictures."""
    pdf = pikepdf.Pdf.new()
    for picture, place in pictures:
        image = pdf.make_stream(picture.data)
        image.Type = pikepdf.Name.XObject
        image.Subtype = pikepdf.Name.Image
        image.Width, image.Height = picture.pixels
        image.ColorSpace = pikepdf.Name(picture.colour_space)
        image.BitsPerComponent = picture.bits
        image.Filter = pikepdf.Name(picture.filter)
        if picture.parameters:
            image.DecodeParms = pikepdf.Dictionary(dict(picture.parameters))
        page = pdf.add_blank_page(page_size=(round(place.width, 4), round(place.height, 4)))
        page.obj.Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(Picture=image))
        page.obj.Contents = pdf.make_stream(
            f"q {_matrix(place, picture.turn)} cm /Picture Do Q".encode("ascii")
        )
    target = io.BytesIO()
    pdf.save(target, deterministic_id=True)
    return target.getvalue()
