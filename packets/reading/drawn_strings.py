"""The strings of a page as it draws them, asked for once for everybody who reads strings."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import pymupdf

AS_DRAWN = pymupdf.TEXT_PRESERVE_WHITESPACE | pymupdf.TEXT_IGNORE_ACTUALTEXT
"""What marked content claims that they say plays no part."""
_TO_THE_RIGHT = (1.0, 0.0)

Row = tuple[float, float, float, float, str]
"""What was drawn as one line: left, top, right, bottom and its text, spaces as drawn.

Points on the unrotated page, origin upper left.
"""


@dataclass(frozen=True, slots=True, repr=False)
class DrawnStrings:
    """All lines of a page, on its paper or beside it, in the order of drawing."""

    rows: Sequence[Row]
    to_the_right: bool
    """Whether every line simply runs from left to right on the unrotated page."""
    plain: bool
    """Whether besides every line is of one height, and its parts follow one another."""
    read: pymupdf.TextPage
    """What they were taken from, to ask it for more."""

    @property
    def tell_all(self) -> bool:
        """Whether the fonts tell what each character is."""
        return not any("\ufffd" in row[4] for row in self.rows)

    def glyph_lines(self, top: float, bottom: float) -> list[dict[str, Any]]:
        """Lines that reach between two heights, as PyMuPDF's "rawdict" gives them.

        What was read is narrowed to them, which costs a tenth of reading the page again.
        """
        bounds = self.read.this.m_internal.mediabox
        bounds.y0, bounds.y1 = top, bottom
        blocks = self.read.extractRAWDICT()["blocks"]
        bounds.y0, bounds.y1 = pymupdf.INFINITE_RECT().y0, pymupdf.INFINITE_RECT().y1
        return [line for block in blocks for line in block.get("lines", ())]


def drawn_strings(page: pymupdf.Page, flags: int = AS_DRAWN) -> DrawnStrings:
    """Every string of a page; a character that its font does not tell is U+FFFD."""
    read = page.get_textpage(clip=pymupdf.INFINITE_RECT(), flags=flags)
    rows: list[Row] = []
    to_the_right = plain = True
    for block in read.extractDICT()["blocks"]:
        for line in block.get("lines", ()):
            if line["dir"] != _TO_THE_RIGHT or line["wmode"]:
                to_the_right = False
            spans = line["spans"]
            if len(spans) == 1:
                rows.append((*spans[0]["bbox"], spans[0]["text"]))
            elif spans:
                row, in_order = _joined(spans)
                rows.append(row)
                plain = plain and in_order
    return DrawnStrings(rows, to_the_right, plain and to_the_right, read)


def _joined(spans: Sequence[dict[str, Any]]) -> tuple[Row, bool]:
    """A line of several looks, and whether these stand at one height, one after the other."""
    left, top, right, bottom = zip(*(span["bbox"] for span in spans), strict=True)
    in_order = len(set(top)) == len(set(bottom)) == 1 and list(left) == sorted(left)
    text = "".join(span["text"] for span in spans)
    return (min(left), min(top), max(right), max(bottom), text), in_order
