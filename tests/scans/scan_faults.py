"""What scanners, copiers and telephones do to a page. All drawn from seeded numbers."""

import io
import random
from dataclasses import dataclass
from enum import StrEnum

from PIL import Image, ImageChops, ImageFilter, ImageOps


class Flaw(StrEnum):
    """What else is wrong with a scan."""

    NONE = "none"
    NOISE = "noise"
    FAINT = "faint"
    """Low contrast: grey ink on grey paper."""
    STAIN = "stain"
    SHADOW = "shadow"
    """One side of the sheet lay off the glass."""
    BLUR = "blur"
    FAX = "fax"
    """1-bit at 204 x 196 dpi with specks and eaten strokes."""


@dataclass(frozen=True)
class Scan:
    """How one page is scanned."""

    dpi: int = 200
    skew: float = 0.0
    """Degrees, counter-clockwise."""
    quarter_turns: int = 0
    """Counter-clockwise quarter turns of the stored picture."""
    bits: int = 8
    """8: grey; 1: black and white."""
    quality: int | None = 80
    """JPEG quality of a grey scan; None: stored without loss."""
    flaw: Flaw = Flaw.NONE

    def __str__(self) -> str:
        depth = "1bit" if self.bits == 1 else f"q{self.quality}"
        return f"{self.dpi}dpi-{self.skew:g}deg-{self.quarter_turns}turns-{depth}-{self.flaw}"


def degraded(page: Image.Image, scan: Scan) -> Image.Image:
    """The grey page as the scanner's glass gives it: flaws, skew, turns, depth."""
    seed = random.Random(str(scan))
    picture = _FLAWS[scan.flaw](page, seed, scan.dpi)
    if scan.skew:
        picture = picture.rotate(scan.skew, Image.Resampling.BICUBIC, fillcolor=_paper(picture))
    if scan.quarter_turns:
        picture = picture.rotate(90 * scan.quarter_turns, expand=True)
    if scan.bits == 1:
        picture = _two_tone(picture)
    return picture


def stored(picture: Image.Image, scan: Scan) -> bytes | None:
    """The JPEG file of a grey scan, or None where it is stored without loss."""
    if scan.quality is None or scan.bits == 1:
        return None
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=scan.quality)
    return out.getvalue()


def _paper(picture: Image.Image) -> int:
    histogram = picture.histogram()
    return max(range(256), key=lambda value: histogram[value])


def _two_tone(grey: Image.Image) -> Image.Image:
    limit = _paper(grey) * 0.62
    return grey.point([255 if value > limit else 0 for value in range(256)]).convert(
        "1", dither=Image.Dither.NONE
    )


def _grain(size: tuple[int, int], seed: random.Random) -> Image.Image:
    return Image.frombytes("L", size, seed.randbytes(size[0] * size[1]))


def _none(page: Image.Image, seed: random.Random, dpi: int) -> Image.Image:
    return page


def _noise(page: Image.Image, seed: random.Random, dpi: int) -> Image.Image:
    grain = _grain(page.size, seed).point([int(value * 0.35) for value in range(256)])
    dust = _grain(page.size, seed).point([255 if value < 1 else 0 for value in range(256)])
    return ImageChops.subtract(ImageChops.subtract(page, grain), dust)


def _faint(page: Image.Image, seed: random.Random, dpi: int) -> Image.Image:
    grain = _grain(page.size, seed).point([int(value * 0.06) for value in range(256)])
    pale = page.point([int(150 + value * 62 / 255) for value in range(256)])
    return ImageChops.subtract(pale, grain)


def _stain(page: Image.Image, seed: random.Random, dpi: int) -> Image.Image:
    """Rings of coffee over the upper half, where the numbers stand."""
    sheet = Image.new("L", page.size, 255)
    for share_x, share_y in ((0.25, 0.18), (0.6, 0.22), (0.4, 0.45)):
        width = int(page.width * 0.42)
        ring = Image.radial_gradient("L").resize((width, width))
        ring = ring.point([255 if v < 70 or v > 150 else 255 - (v - 60) for v in range(256)])
        spot = Image.new("L", page.size, 255)
        spot.paste(ring, (int(page.width * share_x) - width // 2,
                          int(page.height * share_y) - width // 2))  # fmt: skip
        sheet = ImageChops.multiply(sheet, spot)
    return ImageChops.multiply(page, sheet)


def _shadow(page: Image.Image, seed: random.Random, dpi: int) -> Image.Image:
    slope = Image.linear_gradient("L").rotate(90).resize(page.size)
    return ImageChops.multiply(page, slope.point([int(70 + v * 0.73) for v in range(256)]))


def _blur(page: Image.Image, seed: random.Random, dpi: int) -> Image.Image:
    return page.filter(ImageFilter.GaussianBlur(dpi / 170))


def _fax(page: Image.Image, seed: random.Random, dpi: int) -> Image.Image:
    soft = page.filter(ImageFilter.GaussianBlur(0.8))
    grain = _grain(page.size, seed).point([int(value * 0.5) for value in range(256)])
    rough = ImageChops.subtract(ImageOps.autocontrast(soft), grain)
    dust = _grain(page.size, seed).point([255 if value < 1 else 0 for value in range(256)])
    return ImageChops.subtract(rough, dust.filter(ImageFilter.MaxFilter(3)))


_FLAWS = {
    Flaw.NONE: _none, Flaw.NOISE: _noise, Flaw.FAINT: _faint, Flaw.STAIN: _stain,
    Flaw.SHADOW: _shadow, Flaw.BLUR: _blur, Flaw.FAX: _fax,
}  # fmt: skip
