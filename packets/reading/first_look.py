"""A cheap first look at a page: which of its lines may hold a number at all.

Places of single glyphs cost ten times what strings cost, and most lines of a
return hold words and amounts. The first look reads strings; where anything about
a page is unusual it says so, and the whole page is looked at glyph by glyph.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import pymupdf

from packets.base.secret import Secret
from packets.identifiers.broken_lines import broken_over_lines
from packets.identifiers.digits import fold
from packets.identifiers.shapes import may_hold_number
from packets.reading.glyphs import STRUCTURED

_OVERLAP = 0.3
"""Share of the smaller height by which neighbours on one line overlap at least."""
_GROUP_BY_GROUP = re.compile(r"[0-9]{3}[ \t]*\n[ \t]*[0-9]{2}[ \t]*\n[ \t]*[0-9]{4}")
"""Three, two and four digits on a line each."""


@dataclass(frozen=True)
class Band:
    """From top to bottom, in points of the unrotated page, y downward."""

    top: float
    bottom: float


@dataclass(frozen=True)
class FirstLook:
    """What the strings of a page tell."""

    in_lines: Secret
    """Its digits as they stand on the page, from left to right and line by line."""
    as_drawn: Secret
    """Its digits in the order of drawing."""
    suspects: tuple[Band, ...]
    """Lines that may hold a number."""


@dataclass(frozen=True, slots=True)
class _Run:
    """What was drawn as one line."""

    x0: float
    top: float
    bottom: float
    text: str


def first_look(page: pymupdf.Page) -> FirstLook | None:
    """Look at the strings of a page; None where only its glyphs can tell."""
    if page.rotation:
        return None
    found = page.get_text("dict", flags=STRUCTURED, clip=pymupdf.INFINITE_RECT())
    drawn_lines = [line for block in found["blocks"] for line in block.get("lines", ())]
    if any(line["dir"] != (1.0, 0.0) or line["wmode"] for line in drawn_lines):
        return None
    runs = [_run(line["spans"]) for line in drawn_lines if line["spans"]]
    drawn = "\n".join(run.text for run in runs)
    if "\ufffd" in drawn:
        return None
    lines = list(_lines(runs))
    texts = [_folded("\t".join(run.text for run in line)) for line in lines]
    seen = "\n".join(texts)
    if next(broken_over_lines(seen), None) is not None or _GROUP_BY_GROUP.search(seen):
        return None
    suspects = tuple(
        Band(min(run.top for run in line), max(run.bottom for run in line))
        for line, text in zip(lines, texts, strict=True)
        if may_hold_number(text)
    )
    if not suspects and any(map(may_hold_number, _folded(drawn).split("\n"))):
        return None
    return FirstLook(Secret(_digits(seen)), Secret(_digits(_folded(drawn))), suspects)


def _run(spans: Sequence[dict[str, Any]]) -> _Run:
    if len(spans) == 1:
        x0, y0, _, y1 = spans[0]["bbox"]
        return _Run(x0, y0, y1, spans[0]["text"])
    boxes = [span["bbox"] for span in spans]
    return _Run(
        min(box[0] for box in boxes),
        min(box[1] for box in boxes),
        max(box[3] for box in boxes),
        "".join(span["text"] for span in spans),
    )


def _lines(runs: Sequence[_Run]) -> Iterator[list[_Run]]:
    """Runs whose heights overlap, from top to bottom, each line from left to right."""
    line: list[_Run] = []
    for run in sorted(runs, key=lambda it: it.top + it.bottom):
        if line and not _beside(line[-1], run):
            yield sorted(line, key=lambda it: it.x0)
            line = []
        line.append(run)
    if line:
        yield sorted(line, key=lambda it: it.x0)


def _beside(one: _Run, other: _Run) -> bool:
    shared = min(one.bottom, other.bottom) - max(one.top, other.top)
    return shared > _OVERLAP * min(one.bottom - one.top, other.bottom - other.top)


def _folded(text: str) -> str:
    return text if text.isascii() else fold(text).text


def _digits(text: str) -> str:
    return "".join(filter(str.isdigit, text))
