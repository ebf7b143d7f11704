"""Letter pages with texts at given places."""

import io
from collections.abc import Sequence

from reportlab.pdfgen.canvas import Canvas

Placed = tuple[float, float, float, str]
"""x, y (points, origin lower left), type size, text."""


def sheet_of(placed: Sequence[Placed], extra: str = "") -> bytes:
    """One page with these texts in Helvetica (/F1), and any further content."""
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=(612, 792), invariant=True, initialFontName="Helvetica")
    for x, y, size, text in placed:
        canvas.setFont("Helvetica", size)
        canvas.drawString(x, y, text)
    canvas.drawString(1, 1, ".")
    if extra:
        canvas._code.append(extra)  # reportlab has no public way to add operators
    canvas.showPage()
    canvas.save()
    return out.getvalue()
