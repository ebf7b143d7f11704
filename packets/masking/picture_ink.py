"""Paint over parts of a picture and write what stands there now."""

from collections.abc import Sequence

from PIL import Image, ImageDraw, ImageFont

PixelBox = tuple[float, float, float, float]


def paint_digits(picture: Image.Image, digits: Sequence[PixelBox], mask: str) -> None:
    """Fill each digit's box with the paper around it, then draw the mask in its place."""
    paper, ink = paper_and_ink(picture, _around(digits))
    draw = ImageDraw.Draw(picture)
    for x0, y0, x1, y1 in digits:
        draw.rectangle((x0, y0, x1, y1), fill=paper)
    if not mask.strip():
        return
    for x0, y0, x1, y1 in digits:
        height = max(6.0, (y1 - y0) * 0.95)
        font = ImageFont.load_default(size=height)
        left, top, right, bottom = draw.textbbox((0, 0), mask, font=font)
        width = right - left
        if width > (x1 - x0) > 4:
            font = ImageFont.load_default(size=max(6.0, height * (x1 - x0) / width))
            left, top, right, bottom = draw.textbbox((0, 0), mask, font=font)
        x = (x0 + x1 - (right - left)) / 2 - left
        y = (y0 + y1 - (bottom - top)) / 2 - top
        draw.text((x, y), mask, font=font, fill=ink)


def paint_note(picture: Image.Image, box: PixelBox, note: str) -> None:
    """Fill a whole region and write a short note in it."""
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


def paper_and_ink(
    picture: Image.Image, box: PixelBox
) -> tuple[float | tuple[int, ...], float | tuple[int, ...]]:
    """The colours of paper and ink near a box: the lightest common and the darkest pixel."""
    margin = max(2.0, (box[3] - box[1]) * 0.4)
    near = picture.crop(
        (
            int(max(0, box[0] - margin)),
            int(max(0, box[1] - margin)),
            int(min(picture.width, box[2] + margin)),
            int(min(picture.height, box[3] + margin)),
        )
    )
    lightness = near.convert("L")
    ranked = lightness.histogram()
    dark, middle = _at_share(ranked, 0.02), _at_share(ranked, 0.5)
    bands = near.split()
    paper = tuple(_typical(band, lightness, middle, 255) for band in bands)
    ink = tuple(_typical(band, lightness, 0, dark) for band in bands)
    return (paper[0], ink[0]) if len(bands) == 1 else (paper, ink)


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


def _around(boxes: Sequence[PixelBox]) -> PixelBox:
    return (
        min(box[0] for box in boxes),
        min(box[1] for box in boxes),
        max(box[2] for box in boxes),
        max(box[3] for box in boxes),
    )
