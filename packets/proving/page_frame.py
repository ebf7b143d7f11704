"""The page to plant on: which one, where on it, and how not to disturb what it draws."""

import pikepdf
from pikepdf import Dictionary, Page, Pdf

Corner = tuple[float, float]
"""Lower left corner of the room for a plant, in the page's own points, y upward."""

ROOM = (280.0, 180.0)
"""Width and height in points that a page must offer."""
_MARGIN = 20.0


def page_to_plant_on(pdf: Pdf, turn: int) -> Page:
    """One of the upright pages with room on it, in turn; a new last page where there is none."""
    count = len(pdf.pages)
    for step in range(count):
        page = pdf.pages[(turn + step) % count]
        if _is_upright(page) and _has_room(page):
            return page
    return pdf.add_blank_page(page_size=(612, 792))


def _is_upright(page: Page) -> bool:
    return int(page.rotation) % 360 == 0 and page.obj.get("/UserUnit", 1) == 1


def _has_room(page: Page) -> bool:
    left, bottom, right, top = _shown(page)
    return right - left >= ROOM[0] + 2 * _MARGIN and top - bottom >= ROOM[1] + 2 * _MARGIN


def _shown(page: Page) -> tuple[float, float, float, float]:
    """What of the page is shown: the crop box within the media box."""
    sides = [[float(side) for side in box] for box in (page.cropbox, page.mediabox)]
    crop, media = [(*map(min, b[:2], b[2:]), *map(max, b[:2], b[2:])) for b in sides]
    return (
        max(crop[0], media[0]),
        max(crop[1], media[1]),
        min(crop[2], media[2]),
        min(crop[3], media[3]),
    )


def own_resources(page: Page) -> Corner:
    """Give the page resources that no other page shares; returns the corner to plant at."""
    resources = inherited_resources(page)
    mine = Dictionary()
    for kind, shelf in resources.items() if resources is not None else ():
        is_shelf = isinstance(shelf, pikepdf.Dictionary)
        mine[kind] = Dictionary(dict(shelf.items())) if is_shelf else shelf
    page.obj.Resources = mine
    left, bottom, _, _ = _shown(page)
    return left + _MARGIN, bottom + _MARGIN


def inherited_resources(page: Page) -> pikepdf.Object | None:
    """The page's resources, its own or those of the tree above it (7.7.3.4)."""
    holder: pikepdf.Object | None = page.obj
    for _ in range(50):
        if holder is None or "/Resources" in holder:
            break
        holder = holder.get("/Parent")
    return holder.get("/Resources") if holder is not None else None


def balanced(page: Page) -> tuple[bytes, bytes]:
    """What must stand before and behind the page's content so that its state is put back."""
    depth = lowest = 0
    try:
        for instruction in pikepdf.parse_content_stream(page, "q Q"):
            depth += 1 if str(instruction.operator) == "q" else -1
            lowest = min(lowest, depth)
    except pikepdf.PdfError:
        depth = lowest = 0
    opened = 1 - lowest
    return b"q " * opened, b"\n" + b"Q " * (opened + depth)
