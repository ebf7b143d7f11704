"""Default user space of a page, and the unrotated page as MuPDF counts it."""

import pymupdf

Point = tuple[float, float]


def unrotated(page: pymupdf.Page) -> pymupdf.Matrix:
    """From default user space to the unrotated page with its origin upper left.

    The page shows what its crop box and its media box share (ISO 32000-2,
    14.11.2), enlarged by its user unit. PyMuPDF gives the crop box with y
    running downward from the top of the media box.
    """
    crop, media = page.cropbox, page.mediabox
    left = max(crop.x0, media.x0)
    top = min(media.y1 - crop.y0, media.y1)
    kind, text = page.parent.xref_get_key(page.xref, "UserUnit")
    unit = float(text) if kind in ("int", "float", "real") and float(text) > 0 else 1.0
    return pymupdf.Matrix(unit, 0, 0, -unit, -left * unit, top * unit)


def as_shown(page: pymupdf.Page) -> pymupdf.Matrix:
    """From the unrotated page to the page as shown, both enlarged by its user unit.

    MuPDF's own matrix leaves that unit out (ISO 32000-2, table 31).
    """
    width, height = page.rect.width, page.rect.height
    return pymupdf.Matrix(
        *{
            0: (1, 0, 0, 1, 0, 0),
            90: (0, 1, -1, 0, width, 0),
            180: (-1, 0, 0, -1, width, height),
            270: (0, -1, 1, 0, 0, height),
        }[page.rotation % 360]
    )


def moved(point: Point, matrix: pymupdf.Matrix) -> Point:
    """Where a point lands."""
    x, y = point
    return (
        x * matrix.a + y * matrix.c + matrix.e,
        x * matrix.b + y * matrix.d + matrix.f,
    )
