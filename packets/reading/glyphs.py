"""Glyphs of a page with their boxes, sorted by the direction in which they run.

MuPDF reports each character once per place where it is drawn: also white,
invisible, clipped or covered ones. Text that runs in another direction is
turned into a frame where it runs to the right, so that the finder sees lines.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import pymupdf

from packets.base.geometry import Box
from packets.identifiers.layout import GlyphRun

TEXT_FLAGS = pymupdf.TEXT_PRESERVE_WHITESPACE | pymupdf.TEXT_CID_FOR_UNKNOWN_UNICODE
"""No ligature or hyphen cleverness, and no clipping at the media box: every glyph drawn counts."""


@dataclass(frozen=True, slots=True)
class Glyph:
    """One character as drawn."""

    char: str
    box: tuple[float, float, float, float]
    """On the unrotated page, points, origin upper left of the page's box."""
    origin: tuple[float, float]
    """Its point on the baseline, same frame."""
    direction: tuple[float, float]
    """Cosine and sine of the way it runs."""
    size: float
    colour: int
    """sRGB as one integer."""
    font: str


@dataclass(frozen=True)
class PageGlyphs:
    """All glyphs of a page, and the runs that a finder reads, one sheet per direction."""

    glyphs: tuple[Glyph, ...]
    sheets: tuple[tuple[GlyphRun, ...], ...]


def page_glyphs(page: pymupdf.Page) -> PageGlyphs:
    """Every glyph that the page draws, inside its boxes or not."""
    raw = page.get_text("rawdict", flags=TEXT_FLAGS, clip=pymupdf.INFINITE_RECT())
    glyphs: list[Glyph] = []
    sheets: dict[int, list[GlyphRun]] = {}
    for block in raw["blocks"]:
        for line in block.get("lines", ()):
            cosine, sine = line["dir"]
            angle = round(math.degrees(math.atan2(sine, cosine))) % 360
            run = _one_run(line, len(glyphs), glyphs, (cosine, sine))
            if run is not None:
                sheets.setdefault(angle, []).append(run)
    return PageGlyphs(tuple(glyphs), tuple(tuple(runs) for runs in sheets.values()))


def _one_run(
    line: dict[str, object], first: int, glyphs: list[Glyph], direction: tuple[float, float]
) -> GlyphRun | None:
    chars: list[str] = []
    x0s: list[float] = []
    x1s: list[float] = []
    tops: list[float] = []
    bottoms: list[float] = []
    straight = direction == (1.0, 0.0)
    for span in line["spans"]:  # type: ignore[attr-defined]  # MuPDF's untyped dictionaries
        size, colour, font = span["size"], span["color"], span["font"]
        for item in span["chars"]:
            box = item["bbox"]
            char = item["c"]
            glyphs.append(Glyph(char, box, item["origin"], direction, size, colour, font))
            left, top, right, bottom = box if straight else _turned_box(box, direction)
            chars.append(char if len(char) == 1 else "\ufffd")
            x0s.append(left)
            x1s.append(right)
            tops.append(top)
            bottoms.append(bottom)
    if not chars:
        return None
    return GlyphRun("".join(chars), x0s, x1s, min(tops), max(bottoms), first)


def _turned_box(
    box: Sequence[float], direction: tuple[float, float]
) -> tuple[float, float, float, float]:
    cosine, sine = direction
    x0, y0, x1, y1 = box
    points = [
        (x * cosine + y * sine, -x * sine + y * cosine)
        for x, y in ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    ]
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs), min(ys), max(xs), max(ys)


def shown_box(page: pymupdf.Page, boxes: Sequence[Sequence[float]]) -> Box:
    """The box around several boxes of the unrotated page, on the page as shown."""
    joined = pymupdf.Rect(boxes[0])
    for box in boxes[1:]:
        joined |= pymupdf.Rect(box)
    turned = joined * page.rotation_matrix
    return Box(turned.x0, turned.y0, turned.x1, turned.y1)
