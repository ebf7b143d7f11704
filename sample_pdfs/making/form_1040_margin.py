"""What both pages of Form 1040 share: a left margin that names each section."""

from making.layout import LEFT, RIGHT
from making.sheet import Sheet

MARGIN = 108.0
"""Where the lines begin; left of it stand the headings of sections."""


def section(s: Sheet, y: float, title: str, note: str = "") -> None:
    """Rules the upper edge of a section and names it in the margin."""
    base = s.para(LEFT, y - 11, 68, title, 9.5, "B", 11)
    if note:
        s.para(LEFT, base - 1, 66, note, 6.2, leading=7.4)
    s.line(LEFT, y, RIGHT, y, 1.0)
