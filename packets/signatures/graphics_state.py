"""The graphics state of a page's own content, closed off from what is drawn after it."""

import pikepdf


def imbalance(page: pikepdf.Page) -> tuple[int, int]:
    """How many saves the content leaves open at its end, and how many it lacks before a restore."""
    depth = lowest = 0
    for instruction in pikepdf.parse_content_stream(page, "q Q"):
        depth += 1 if str(instruction.operator) == "q" else -1
        lowest = min(lowest, depth)
    return depth, -lowest


def close_off(page: pikepdf.Page) -> None:
    """Save the graphics state before the page's content and restore it after (8.4.2).

    Content that saves more than it restores, or the reverse, is evened out, so
    that what is appended later is drawn in default user space.
    """
    left_open, lacking = imbalance(page)
    before = 1 + lacking
    page.contents_add(b"q\n" * before, prepend=True)
    page.contents_add(b"\n" + b"Q\n" * (before + left_open), prepend=False)
