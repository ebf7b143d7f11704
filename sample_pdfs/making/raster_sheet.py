"""Paper made of pixels, and what scanners and telephones do to it.

Letters come from the Bitstream Vera fonts that reportlab carries, so that no font of the
machine is needed. Noise comes from `random.Random(seed)`: the same every time.
"""

import io
import random
from pathlib import Path

import pikepdf
import reportlab
from pikepdf import Array, Dictionary, Name
from PIL import Image, ImageChops, ImageDraw, ImageFilter, ImageFont

from making.sheet import BLACK, Color, Sheet

_FONTS = Path(reportlab.__file__).parent / "fonts"
_FACES = {"R": "Vera.ttf", "B": "VeraBd.ttf", "I": "VeraIt.ttf", "J": "VeraBI.ttf"}
_LIKE = {"M": "R", "N": "B", "S": "R", "T": "B", "U": "I"}
_NARROWER = 0.86
"""Vera is wider than Helvetica by about this much."""


class RasterSheet(Sheet):
    """A grey or coloured sheet at some resolution; coordinates stay in points."""

    def __init__(
        self,
        width: float = 612.0,
        height: float = 792.0,
        dpi: int = 200,
        paper: Color = (1.0, 1.0, 1.0),
        mode: str = "L",
    ) -> None:
        self.width = width
        self.height = height
        self.dpi = dpi
        self._scale = dpi / 72
        self._mode = mode
        size = (round(width * self._scale), round(height * self._scale))
        self.image = Image.new(mode, size, self._ink(paper))
        self._draw = ImageDraw.Draw(self.image)

    def _ink(self, color: Color) -> int | tuple[int, int, int]:
        red, green, blue = (round(c * 255) for c in color)
        if self._mode == "L":
            return round(0.299 * red + 0.587 * green + 0.114 * blue)
        return red, green, blue

    def _font(self, size: float, font: str) -> ImageFont.FreeTypeFont:
        face = _FACES[_LIKE.get(font, font)]
        return ImageFont.truetype(
            str(_FONTS / face),
            max(4.0, size * _NARROWER * self._scale),
            layout_engine=ImageFont.Layout.BASIC,
        )

    def _at(self, x: float, y: float) -> tuple[float, float]:
        return x * self._scale, (self.height - y) * self._scale

    def measure(self, words: str, size: float, font: str = "R") -> float:
        return self._font(size, font).getlength(words) / self._scale

    def put(self, x: float, y: float, words: str, size: float, font: str, color: Color) -> None:
        self._draw.text(
            self._at(x, y), words, font=self._font(size, font), fill=self._ink(color), anchor="ls"
        )

    def line(
        self,
        x1: float,
        y1: float,
        x2: float,
        y2: float,
        lw: float = 0.5,
        dash: tuple[float, float] | None = None,
        color: Color = BLACK,
    ) -> None:
        thick = max(1, round(lw * self._scale))
        if dash is None:
            ends = [self._at(x1, y1), self._at(x2, y2)]
            self._draw.line(ends, fill=self._ink(color), width=thick)
            return
        length = max(abs(x2 - x1), abs(y2 - y1))
        at = 0.0
        while at < length:
            end = min(at + dash[0], length)
            points = [
                self._at(x1 + (x2 - x1) * part / length, y1 + (y2 - y1) * part / length)
                for part in (at, end)
            ]
            self._draw.line(points, fill=self._ink(color), width=thick)
            at += sum(dash)

    def rect(
        self,
        x: float,
        y: float,
        w: float,
        h: float,
        fill: Color | None = None,
        lw: float = 0.5,
        color: Color = BLACK,
    ) -> None:
        self._draw.rectangle(
            [*self._at(x, y + h), *self._at(x + w, y)],
            fill=None if fill is None else self._ink(fill),
            outline=self._ink(color) if lw else None,
            width=max(1, round(lw * self._scale)) if lw else 0,
        )

    def paste(self, picture: Image.Image, x: float, y: float, w: float, h: float) -> None:
        """Puts a picture with its lower left corner at x, y; edges stay sharp."""
        size = (round(w * self._scale), round(h * self._scale))
        left, top = self._at(x, y + h)
        self.image.paste(
            picture.convert(self._mode).resize(size, Image.Resampling.NEAREST),
            (round(left), round(top)),
        )


def scanned(image: Image.Image, seed: int, angle: float = 0.35, noise: int = 10) -> Image.Image:
    """The image as a scanner gives it: a little turned, a little soft, a little dirty."""
    paper = 250 if image.mode == "L" else (250, 249, 246)
    turned = image.rotate(angle, Image.Resampling.BICUBIC, fillcolor=paper)
    soft = turned.filter(ImageFilter.GaussianBlur(0.6))
    small = (soft.width // 2, soft.height // 2)
    dirt = Image.frombytes("L", small, random.Random(seed).randbytes(small[0] * small[1]))
    dirt = dirt.point([value * noise // 255 for value in range(256)]).resize(soft.size)
    return ImageChops.subtract(soft, dirt.convert(soft.mode))


def jpeg(image: Image.Image, quality: int = 60, dpi: int = 200, exif: bytes = b"") -> bytes:
    """The image as a JPEG file."""
    out = io.BytesIO()
    image.save(out, "JPEG", quality=quality, dpi=(dpi, dpi), exif=exif)
    return out.getvalue()


def picture_pdf(image: Image.Image, dpi: int = 200, quality: int = 60) -> bytes:
    """A PDF of one page that holds nothing but the picture, as scanners write it."""
    out = io.BytesIO()
    pdf = pikepdf.Pdf.new()
    width, height = image.width * 72 / dpi, image.height * 72 / dpi
    picture = pdf.make_stream(
        jpeg(image, quality, dpi),
        Type=Name.XObject,
        Subtype=Name.Image,
        Width=image.width,
        Height=image.height,
        ColorSpace=Name.DeviceGray if image.mode == "L" else Name.DeviceRGB,
        BitsPerComponent=8,
        Filter=Name.DCTDecode,
    )
    pdf.add_blank_page(page_size=(round(width, 2), round(height, 2)))
    page = pdf.pages[0]
    page.obj[Name.Resources] = Dictionary(XObject=Dictionary(Im0=picture))
    page.obj[Name.Contents] = pdf.make_stream(
        f"q {width:.2f} 0 0 {height:.2f} 0 0 cm /Im0 Do Q".encode("ascii")
    )
    page.obj[Name.MediaBox] = Array([0, 0, round(width, 2), round(height, 2)])
    pdf.save(out, deterministic_id=True)
    return out.getvalue()
