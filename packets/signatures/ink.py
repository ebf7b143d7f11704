"""Ink lifted off its paper: alpha from how far a pixel is from the paper around it."""

from PIL import Image, ImageChops, ImageFilter, ImageMath

from packets.base.errors import InputRefused

PAPER_SIDE = 160
"""The paper is estimated on a picture of this size, in which strokes are thin."""
DARKEST_PAPER = 130
"""Mean brightness (0-255) under which the ground is not paper with ink on it."""
MOST_INK = 0.55
"""Share of the picture that ink may cover."""
NOISE = 26
"""Difference from the paper (0-255) that JPEG grain and paper fibre stay below."""
LEAST_CONTRAST = 48
"""Difference from the paper that the strongest ink must reach."""
LEAST_INK = 12
"""Pixels of ink, at the very least."""
SOLID = 128


def lift_ink(picture: Image.Image, where: str) -> Image.Image:
    """Return RGBA, trimmed to the ink, paper transparent, ink in its own colour.

    `picture` is RGB, ink on light paper. Raises InputRefused when the paper is
    dark, the picture is mostly ink, or there is no ink.
    """
    paper = _paper(picture)
    if _mean(paper.convert("L")) < DARKEST_PAPER:
        raise InputRefused("this image is dark; it must be ink on light paper", where=where)
    alpha = _alpha(picture, paper, where)
    box = _ink_box(alpha, where)
    picture, paper, alpha = picture.crop(box), paper.crop(box), alpha.crop(box)
    ink = Image.merge(
        "RGB",
        [
            _without_paper(seen, ground, alpha)
            for seen, ground in zip(picture.split(), paper.split(), strict=True)
        ],
    )
    ink.putalpha(alpha)
    # What is wholly transparent holds no colour, so nothing of the paper stays in the file.
    empty = Image.new("RGBA", ink.size, (0, 0, 0, 0))
    empty.paste(ink, mask=alpha.point([0] + [255] * 255))
    return empty


def _paper(picture: Image.Image) -> Image.Image:
    """The paper's own colour at each place, shade included, strokes bridged over."""
    small = picture.copy()
    small.thumbnail((PAPER_SIDE, PAPER_SIDE), Image.Resampling.BOX)
    reach = max(3, min(15, (min(small.size) // 4) | 1))
    # The lightest neighbour is paper wherever a stroke is narrower than the window.
    ground = small.filter(ImageFilter.MaxFilter(reach)).filter(ImageFilter.MinFilter(reach))
    ground = ground.filter(ImageFilter.GaussianBlur(reach / 2))
    return ground.resize(picture.size, Image.Resampling.BICUBIC)


def _alpha(picture: Image.Image, paper: Image.Image, where: str) -> Image.Image:
    red, green, blue = ImageChops.subtract(paper, picture).split()
    # The channel that the ink changes most: red ink darkens green and blue, not itself.
    darker = ImageChops.lighter(ImageChops.lighter(red, green), blue)
    counts = darker.histogram()
    total = sum(counts)
    inked = sum(counts[NOISE:])
    if inked > total * MOST_INK:
        raise InputRefused("this image is mostly dark; it must be ink on paper", where=where)
    strongest = _percentile(counts, NOISE, 0.75)
    if inked < LEAST_INK or strongest < LEAST_CONTRAST:
        raise InputRefused("this image shows no ink", where=where)
    span = max(1, strongest - NOISE)
    return darker.point([_ramp((level - NOISE) / span) for level in range(256)])


def _ramp(share: float) -> int:
    """A smooth step from paper (0) to ink (255)."""
    share = min(1.0, max(0.0, share))
    return round(255 * share)


def _ink_box(alpha: Image.Image, where: str) -> tuple[int, int, int, int]:
    """The box of the ink, a pixel of margin around it; single specks of dust do not count."""
    solid = alpha.point([0] * SOLID + [255] * (256 - SOLID))
    # A speck is a solid pixel of which the ring around it holds almost nothing.
    around = solid.filter(ImageFilter.BoxBlur(2)).point([0] * 42 + [255] * 214)
    kept = ImageChops.multiply(solid, around)
    box = kept.getbbox() or solid.getbbox()
    if box is None:
        raise InputRefused("this image shows no ink", where=where)
    left, top, right, bottom = box
    return (
        max(0, left - 1),
        max(0, top - 1),
        min(alpha.width, right + 1),
        min(alpha.height, bottom + 1),
    )


def _without_paper(seen: Image.Image, ground: Image.Image, alpha: Image.Image) -> Image.Image:
    """One channel of the ink alone: seen = alpha * ink + (1 - alpha) * paper, solved for ink."""
    solved: Image.Image = ImageMath.lambda_eval(
        lambda of: of["min"](
            of["max"](
                (of["seen"] * 255 - of["ground"] * (255 - of["alpha"])) / of["max"](of["alpha"], 1),
                0,
            ),
            255,
        ),
        seen=seen.convert("I"),
        ground=ground.convert("I"),
        alpha=alpha.convert("I"),
    )
    return solved.convert("L")


def _mean(grey: Image.Image) -> float:
    counts = grey.histogram()
    return sum(level * count for level, count in enumerate(counts)) / max(1, sum(counts))


def _percentile(counts: list[int], start: int, share: float) -> int:
    """The level from `start` upward below which `share` of the pixels lie."""
    left = sum(counts[start:]) * share
    for level in range(start, len(counts)):
        left -= counts[level]
        if left <= 0:
            return level
    return len(counts) - 1
