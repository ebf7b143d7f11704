"""The figures as pictures: lines over the length of a document, bars for everything else."""

import itertools
import math
from collections.abc import Callable, Sequence
from pathlib import Path

from figures import Figure
from PIL import Image, ImageDraw, ImageFont

WIDE, HIGH = 900, 540
LEFT, RIGHT, TOP, BOTTOM = 90, 30, 90, 60
INKS = ((20, 60, 140), (170, 60, 20), (90, 90, 90))
DASHES = ((1, 0), (9, 6), (3, 5))
"""Drawn and left out, in points of a line: who is who does not rest on colour alone."""


def write_plots(folder: Path, figures: Sequence[Figure]) -> list[Path]:
    """One PNG for each sort of figure that was measured; returns their paths."""
    folder.mkdir(parents=True, exist_ok=True)
    text = [one for one in figures if one.subject == "text return"]
    made = []
    if text:
        made.append(_lines(folder / "pages-a-second.png", text, "Pages a second", _rate))
        made.append(_lines(folder / "peak-memory.png", text, "Peak memory, MB", _memory))
    for subject in dict.fromkeys(one.subject for one in figures if one.subject != "text return"):
        group = [one for one in figures if one.subject == subject]
        made.append(_bars(folder / f"{subject}-a-minute.png", group))
    return made


def _rate(one: Figure) -> float:
    return one.rate


def _memory(one: Figure) -> float:
    return one.megabytes or 0.0


def _sheet(title: str) -> tuple[Image.Image, ImageDraw.ImageDraw]:
    image = Image.new("RGB", (WIDE, HIGH), "white")
    draw = ImageDraw.Draw(image)
    draw.text((LEFT, 18), title, fill="black", font=ImageFont.load_default(22))
    draw.line([(LEFT, TOP), (LEFT, HIGH - BOTTOM), (WIDE - RIGHT, HIGH - BOTTOM)], "black", 2)
    return image, draw


def _lines(
    path: Path, figures: Sequence[Figure], title: str, value: Callable[[Figure], float]
) -> Path:
    image, draw = _sheet(f"{title}, by length of the document")
    font = ImageFont.load_default(15)
    sizes = sorted({one.size for one in figures})
    highest = max(value(one) for one in figures) * 1.08
    first, last = math.log10(sizes[0]), math.log10(sizes[-1]) or 1.0

    def at(one_size: float, one_value: float) -> tuple[float, float]:
        share = (math.log10(one_size) - first) / ((last - first) or 1.0)
        x = LEFT + 20 + share * (WIDE - LEFT - RIGHT - 60)
        return x, HIGH - BOTTOM - one_value / highest * (HIGH - TOP - BOTTOM)

    for size in sizes:
        x, y = at(size, 0)
        draw.text((x, y + 8), f"{size:,}", fill="black", font=font, anchor="ma")
    draw.text(((LEFT + WIDE) / 2, HIGH - 28), "pages", fill="black", font=font, anchor="ma")
    for step in range(5):
        x, y = at(sizes[0], highest * step / 4)
        draw.text((LEFT - 8, y), f"{highest * step / 4:,.0f}", fill="black", font=font, anchor="rm")
    for number, who in enumerate(dict.fromkeys(one.who for one in figures)):
        series = sorted((one for one in figures if one.who == who), key=lambda one: one.size)
        points = [at(one.size, value(one)) for one in series]
        _broken_line(draw, points, INKS[number % 3], DASHES[number % 3])
        for x, y in points:
            draw.ellipse((x - 4, y - 4, x + 4, y + 4), fill=INKS[number % 3])
        x, y = LEFT + 200 * number, 66
        _broken_line(draw, [(x, y), (x + 46, y)], INKS[number % 3], DASHES[number % 3])
        draw.text((x + 54, y), who, fill="black", font=font, anchor="lm")
    image.save(path)
    return path


def _broken_line(
    draw: ImageDraw.ImageDraw,
    points: Sequence[tuple[float, float]],
    ink: tuple[int, int, int],
    dash: tuple[int, int],
) -> None:
    drawn, left_out = dash
    for (x0, y0), (x1, y1) in itertools.pairwise(points):
        length = math.hypot(x1 - x0, y1 - y0)
        at = 0.0
        while at < length:
            end = min(length, at + drawn) if left_out else length
            a, b = at / length, end / length
            start = (x0 + (x1 - x0) * a, y0 + (y1 - y0) * a)
            draw.line([start, (x0 + (x1 - x0) * b, y0 + (y1 - y0) * b)], fill=ink, width=3)
            at = end + left_out


def _bars(path: Path, figures: Sequence[Figure]) -> Path:
    unit = figures[0].unit
    image, draw = _sheet(f"{figures[0].subject.capitalize()}: {unit} a minute")
    font = ImageFont.load_default(15)
    highest = max(60 * one.rate for one in figures)
    high = (HIGH - TOP - BOTTOM) / len(figures)
    for number, one in enumerate(figures):
        y = TOP + number * high
        long = 60 * one.rate / highest * (WIDE - LEFT - RIGHT - 120)
        box = (LEFT + 2, y + high * 0.45, LEFT + 2 + long, y + high * 0.9)
        draw.rectangle(box, fill=INKS[number % 3])
        words = f"{one.who}, {one.size:,} {one.unit}"
        draw.text((LEFT + 8, y + high * 0.42), words, fill="black", font=font, anchor="ld")
        end = (LEFT + 10 + long, y + high * 0.68)
        draw.text(end, f"{60 * one.rate:,.1f}", fill="black", font=font, anchor="lm")
    image.save(path)
    return path
