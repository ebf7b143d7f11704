"""Whether digits can still be seen in a masked scan: the old pixels beside the new ones.

Knows where the digits were drawn and asks nobody who took part in masking.
"""

import io

import pikepdf
from PIL import Image, ImageChops, ImageStat
from scanned_pages import Pixels

GONE = 0.72
"""Below this likeness (correlation of ink) the old digit is no longer there. A digit
that was left alone keeps above 0.95; an X in its place comes to some 0.5."""


def picture_in(pdf: bytes) -> Image.Image:
    """The only picture of the only page, in grey, as stored."""
    with pikepdf.open(io.BytesIO(pdf)) as document:
        drawn = document.pages[0].obj.Resources.XObject.values()
        images = [item for item in drawn if item.Subtype == "/Image"]
        assert len(images) == 1
        return pikepdf.PdfImage(images[0]).as_pil_image().convert("L")


def likeness(before: Image.Image, after: Image.Image, box: Pixels) -> float:
    """Correlation of the pixels in a box, from -1 to 1; 0 where nothing is left."""
    old, new = (picture.convert("L").crop(box) for picture in (before, after))
    old_mean, new_mean = ImageStat.Stat(old).mean[0], ImageStat.Stat(new).mean[0]
    values = list(zip(old.tobytes(), new.tobytes(), strict=True))
    across = sum((a - old_mean) * (b - new_mean) for a, b in values)
    old_spread = sum((a - old_mean) ** 2 for a, _ in values)
    new_spread = sum((b - new_mean) ** 2 for _, b in values)
    if old_spread == 0 or new_spread < 0.02 * old_spread:
        return 0.0
    return across / (old_spread * new_spread) ** 0.5


def still_seen(before: Image.Image, after: Image.Image, digits: tuple[Pixels, ...]) -> int:
    """How many of a number's digits are still there."""
    assert before.size == after.size
    return sum(likeness(before, after, box) >= GONE for box in digits)


def changed_share(before: Image.Image, after: Image.Image) -> float:
    """The share of the picture that is another now: how much of the page was painted over."""
    difference = ImageChops.difference(before.convert("L"), after.convert("L"))
    changed = difference.point([255 if value > 60 else 0 for value in range(256)])
    return ImageStat.Stat(changed).mean[0] / 255
