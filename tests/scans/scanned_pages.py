"""A paper laid on the scanner: an image-only PDF page and the pixels where the digits lie."""

import io
import math
import zlib
from dataclasses import dataclass

import pikepdf
import pymupdf
from pikepdf import Dictionary, Name
from PIL import Image
from scan_faults import Scan, degraded, stored
from scan_papers import Paper, Rect

Pixels = tuple[int, int, int, int]


@dataclass(frozen=True)
class ScannedPage:
    """One image-only page, and the pixels of its numbers in the stored picture."""

    pdf: bytes
    picture: Image.Image
    """As stored: what a reader of the file sees before masking."""
    numbers: tuple[tuple[Pixels, ...], ...]
    """For each number the boxes of the digits that must go."""


def scanned(paper: Paper, scan: Scan) -> ScannedPage:
    """Draw the paper at the scan's resolution, spoil it, and wrap it as a page."""
    with pymupdf.open(stream=paper.pdf, filetype="pdf") as document:
        pixels = document[0].get_pixmap(dpi=scan.dpi, colorspace=pymupdf.csGRAY)
        page = Image.frombytes("L", (pixels.width, pixels.height), pixels.samples)
        ink = tuple(tuple(document[0].rect)[2:])
    picture = degraded(page, scan)
    jpeg = stored(picture, scan)
    if jpeg is not None:
        with Image.open(io.BytesIO(jpeg)) as opened:
            picture = opened.convert("L")
    numbers = tuple(
        tuple(_in_pixels(digit, page.size, scan) for digit in number.hidden)
        for number in paper.numbers
    )
    size = ink if scan.quarter_turns % 2 == 0 else ink[::-1]
    return ScannedPage(_wrapped(picture, jpeg, size), picture, numbers)


def _in_pixels(digit: Rect, size: tuple[int, int], scan: Scan) -> Pixels:
    """The box around a digit after skew and quarter turns; only its inked height."""
    scale = scan.dpi / 72
    x0, y0, x1, y1 = digit
    height = y1 - y0  # ascent to descent: a digit fills about the middle of it
    y0, y1 = y0 + 0.2 * height, y1 - 0.22 * height
    corners = [(x * scale, y * scale) for x in (x0, x1) for y in (y0, y1)]
    turned = [_turned(corner, size, scan) for corner in corners]
    xs, ys = [x for x, _ in turned], [y for _, y in turned]
    return (math.floor(min(xs)), math.floor(min(ys)), math.ceil(max(xs)), math.ceil(max(ys)))


def _turned(point: tuple[float, float], size: tuple[int, int], scan: Scan) -> tuple[float, float]:
    width, height = size
    angle = math.radians(scan.skew)
    dx, dy = point[0] - width / 2, point[1] - height / 2
    x = width / 2 + dx * math.cos(angle) + dy * math.sin(angle)
    y = height / 2 - dx * math.sin(angle) + dy * math.cos(angle)
    for _ in range(scan.quarter_turns):
        x, y, width, height = y, width - x, height, width
    return x, y


def _wrapped(picture: Image.Image, jpeg: bytes | None, size: tuple[float, ...]) -> bytes:
    """A PDF page that shows the picture and nothing else."""
    pdf = pikepdf.new()
    one_bit = picture.mode == "1"
    keys = Dictionary(
        Type=Name.XObject, Subtype=Name.Image, Width=picture.width, Height=picture.height,
        ColorSpace=Name.DeviceGray, BitsPerComponent=1 if one_bit else 8,
    )  # fmt: skip
    data = jpeg if jpeg is not None else zlib.compress(picture.tobytes())
    image = pikepdf.Stream(pdf, data, keys)
    image.write(data, filter=Name.DCTDecode if jpeg is not None else Name.FlateDecode)
    page = Dictionary(
        Type=Name.Page, MediaBox=[0, 0, *size],
        Resources=Dictionary(XObject=Dictionary(Im0=pdf.make_indirect(image))),
        Contents=pdf.make_stream(b"q %g 0 0 %g 0 0 cm /Im0 Do Q" % size),
    )  # fmt: skip
    pdf.pages.append(pikepdf.Page(pdf.make_indirect(page)))
    out = io.BytesIO()
    pdf.save(out, deterministic_id=True)
    return out.getvalue()
