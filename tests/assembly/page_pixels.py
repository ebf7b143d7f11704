"""Comparing two drawings of a page, the second perhaps with more paper at its foot or right."""

from PIL import Image, ImageChops


def _over_old(before: Image.Image, after: Image.Image) -> Image.Image:
    paper = Image.new("L", after.size, 255)
    paper.paste(before, (0, 0))
    return paper


def _changes(before: Image.Image, after: Image.Image) -> Image.Image:
    """White where the two differ; added paper counts as white before."""
    return ImageChops.difference(_over_old(before, after), after).point([0] + [255] * 255)


def _count(marks: Image.Image) -> int:
    return marks.histogram()[255]


def pixels_that_changed(before: Image.Image, after: Image.Image) -> int:
    """How many pixels differ."""
    return _count(_changes(before, after))


def inked_pixels_that_changed(before: Image.Image, after: Image.Image) -> int:
    """How many pixels that held print before look different now.

    Print is what is darker than the commonest light tone, the paper.
    """
    tones = before.histogram()
    paper = max(range(180, 256), key=lambda tone: tones[tone]) if any(tones[180:]) else 255
    ink = Image.new("L", after.size, 0)
    ink.paste(before.point([255 if tone < paper - 2 else 0 for tone in range(256)]), (0, 0))
    return _count(ImageChops.darker(ink, _changes(before, after)))


def changed_box(before: Image.Image, after: Image.Image) -> tuple[int, int, int, int]:
    """The smallest box around all changes."""
    box = ImageChops.difference(_over_old(before, after), after).getbbox()
    assert box, "nothing changed"
    return box
