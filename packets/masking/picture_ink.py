"""Paint over parts of a picture and write what stands there now."""

from collections.abc import Sequence
from statistics import median

from PIL import Image, ImageDraw, ImageFont

from packets.masking.pixel_boxes import PixelBox, around

Colour = float | tuple[int, ...]

_LEAST_CONTRAST = 16
"""A region whose darkest and lightest pixels differ by less shows nothing."""
_LEVEL = 0.2
"""Digits whose feet differ by less than this share of their height stand on one line."""
_STAMP_SIZE = 200


def paint_digits(picture: Image.Image, digits: Sequence[PixelBox], mask: str) -> bool:
    """Fill each digit's box with the paper around it, then draw the mask in its place.

    The masks of one number have one size and stand on one line. A picture that
    shows nothing there (it may be the soft mask that does) stays as it is: False.
    """
    whole = around(digits)
    if not shows_anything(picture, whole):
        return False
    paper, ink = paper_and_ink(picture, whole)
    draw = ImageDraw.Draw(picture)
    for x0, y0, x1, y1 in digits:
        draw.rectangle((x0, y0, x1, y1), fill=paper)
    if not mask.strip():
        return True
    height = max(4, round(median(y1 - y0 for _, y0, _, y1 in digits) * 0.86))
    width = max(3, round(median(x1 - x0 for x0, _, x1, _ in digits) * 0.9))
    stamp = _stamp(mask, width, height, picture.mode)
    feet = [y1 - (y1 - y0 - height) / 2 for _, y0, _, y1 in digits]
    level = median(feet) if max(feet) - min(feet) < _LEVEL * height else None
    for (x0, _, x1, _), foot in zip(digits, feet, strict=True):
        low = foot if level is None else level
        picture.paste(ink, (round((x0 + x1 - width) / 2), round(low - height)), stamp)
    return True


def _stamp(mask: str, width: int, height: int, mode: str) -> Image.Image:
    """The mask character as opacity, as high as a capital letter of that height."""
    font = ImageFont.load_default(size=_STAMP_SIZE)
    left, _, right, _ = font.getbbox(mask)
    _, top, _, bottom = font.getbbox("X")
    large = Image.new("L", (max(1, round(right - left)), max(1, round(bottom - top))), 0)
    ImageDraw.Draw(large).text((-left, -top), mask, font=font, fill=255)
    stamp = large.resize((width, height), Image.Resampling.LANCZOS)
    return stamp.point([255 * (value > 100) for value in range(256)]) if mode == "1" else stamp


def paint_note(picture: Image.Image, box: PixelBox, note: str) -> bool:
    """Fill a whole region and write a short note in it; False where nothing is to be seen."""
    if not shows_anything(picture, box):
        return False
    paper, ink = paper_and_ink(picture, box)
    draw = ImageDraw.Draw(picture)
    draw.rectangle(box, fill=paper, outline=ink)
    x0, y0, x1, y1 = box
    size = max(8.0, min((y1 - y0) * 0.4, (x1 - x0) / max(len(note), 1) * 1.7))
    font = ImageFont.load_default(size=size)
    left, top, right, bottom = draw.textbbox((0, 0), note, font=font)
    if right - left <= x1 - x0 and bottom - top <= y1 - y0:
        middle = ((x0 + x1 - right + left) / 2 - left, (y0 + y1 - bottom + top) / 2 - top)
        draw.text(middle, note, font=font, fill=ink)
    return True


def shows_anything(picture: Image.Image, box: PixelBox) -> bool:
    """Whether a region and its surroundings hold more than one tone."""
    low, high = _extremes(_near(picture, box).convert("L"))
    return high - low >= _LEAST_CONTRAST


def _extremes(grey: Image.Image) -> tuple[int, int]:
    counted = [tone for tone, count in enumerate(grey.histogram()) if count]
    return counted[0], counted[-1]


def paper_and_ink(picture: Image.Image, box: PixelBox) -> tuple[Colour, Colour]:
    """The colours of paper and ink near a box.

    Paper is the tone of most pixels, be it light or dark; ink is the tone
    farthest from it.
    """
    near = _near(picture, box)
    lightness = near.convert("L")
    tones = lightness.histogram()
    low, high = _extremes(lightness)
    middle = (low + high) / 2
    dark = sum(count for tone, count in enumerate(tones) if tone < middle)
    bands = near.split()
    of_paper, of_ink = (middle, 255.0), (0.0, float(max(_at_share(tones, 0.02), low)))
    if dark * 2 > sum(tones):
        of_paper, of_ink = (0.0, middle), (float(min(_at_share(tones, 0.98), high)), 255.0)
    ends = of_paper, of_ink
    paper, ink = (tuple(_typical(band, lightness, *end) for band in bands) for end in ends)
    return (paper[0], ink[0]) if len(bands) == 1 else (paper, ink)


def _near(picture: Image.Image, box: PixelBox) -> Image.Image:
    margin = max(2.0, (box[3] - box[1]) * 0.4)
    left, top = int(max(0, box[0] - margin)), int(max(0, box[1] - margin))
    right = int(min(picture.width, box[2] + margin))
    bottom = int(min(picture.height, box[3] + margin))
    return picture.crop((left, top, max(right, left + 1), max(bottom, top + 1)))


def _typical(band: Image.Image, lightness: Image.Image, low: float, high: float) -> int:
    """The median of a band over the pixels whose lightness lies in a range."""
    chosen = lightness.point([255 if low <= value <= high else 0 for value in range(256)])
    return _at_share(band.convert("L").histogram(chosen), 0.5)


def _at_share(histogram: Sequence[int], share: float) -> int:
    """The value up to which the given share of all counted pixels lies."""
    wanted, passed = sum(histogram) * share, 0
    for value, count in enumerate(histogram):
        passed += count
        if passed >= wanted:
            return value
    return 255
