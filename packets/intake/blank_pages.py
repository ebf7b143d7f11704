"""Pages on which nothing is printed: the backs of forms and of double-sided scans."""

import re

import pymupdf

from packets.reading.records import PageText

_DPI = 50
_WHITE = 235
"""Grey from which a dot counts as paper; the texture of a scan stays above it."""
_LONGEST_NUMBER = 5
_SAYS_SO = re.compile(
    r"(?:this )?page (?:is )?(?:intentionally )?(?:left )?blank|\bpage\b", re.IGNORECASE
)
_NEVER_BLANK = re.compile("[CDJMQRUVWXZcdjmqruvwxz]")
"""Letters of which no word of a blank page is made: most pages have one in their first line."""


def is_blank(page: pymupdf.Page, text: PageText) -> bool:
    """Whether a page shows nothing but, at most, its own page number.

    The page is drawn small in grey, with annotations and form fields. Any dot
    that is clearly no paper makes the page not blank, and so does any word:
    whoever is in doubt looks at it.
    """
    words = " ".join(line.text for line in text.lines)
    if _NEVER_BLANK.search(words):
        return False
    rest = _SAYS_SO.sub("", words).strip(" -–—.")
    if len(rest) > _LONGEST_NUMBER or any(mark.isalpha() for mark in rest):
        return False
    scale = _DPI / 72
    longest = max(page.rect.width, page.rect.height, 1.0)
    scale = min(scale, 2000 / longest)
    pixels = page.get_pixmap(
        matrix=pymupdf.Matrix(scale, scale), colorspace=pymupdf.csGRAY, alpha=False
    )
    for line in text.lines:
        box = pymupdf.IRect(
            int(line.box.x0 * scale) - 2,
            int(line.box.y0 * scale) - 2,
            int(line.box.x1 * scale) + 3,
            int(line.box.y1 * scale) + 3,
        )
        pixels.set_rect(box & pixels.irect, (255,))
    return min(pixels.samples, default=255) >= _WHITE
