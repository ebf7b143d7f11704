"""Page numbers and ranges as a person writes them: `1-2,5`."""

import re

_PIECE = re.compile(r"([0-9]{1,6})(?:\s*[-–]\s*([0-9]{1,6}))?")
_MOST_PAGES = 100_000


class PageRangeError(Exception):
    """The text is not a list of pages. The message repeats nothing of it."""


def parse_page_range(text: str) -> tuple[int, ...]:
    """The pages named by `text`, from 1, ascending, each once; empty for an empty text.

    Raises `PageRangeError` for anything but numbers, ranges, commas and spaces,
    for page 0, and for a range that runs backwards.
    """
    if not text.strip():
        return ()
    pages: set[int] = set()
    for piece in text.split(","):
        match = _PIECE.fullmatch(piece.strip())
        if match is None:
            raise PageRangeError("these are not page numbers and ranges")
        first = int(match[1])
        last = int(match[2]) if match[2] else first
        if first < 1:
            raise PageRangeError("pages count from 1")
        if last < first:
            raise PageRangeError("a range runs backwards")
        if last > _MOST_PAGES:
            raise PageRangeError("no file has that many pages")
        pages.update(range(first, last + 1))
    return tuple(sorted(pages))


def page_range_text(pages: tuple[int, ...]) -> str:
    """The shortest text that names these pages: `1-2,5`."""
    runs: list[list[int]] = []
    for page in sorted(set(pages)):
        if runs and page == runs[-1][1] + 1:
            runs[-1][1] = page
        else:
            runs.append([page, page])
    return ",".join(str(a) if a == b else f"{a}-{b}" for a, b in runs)
