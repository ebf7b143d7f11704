"""Take glyphs out with MuPDF's redaction, where the content stream would not say where they stand.

MuPDF takes out a glyph when its box meets a redaction box at all, so each box
is a sliver at the middle of its glyph and the neighbours stay. The mask is
written afterwards at the origin of each glyph, in its size and colour.
"""

import math
from collections.abc import Mapping, Sequence

import pymupdf

from packets.masking.findings import TextFinding
from packets.masking.survey import open_for_reading
from packets.reading.glyphs import Glyph

_WIDTH, _HEIGHT = 0.6, 0.2
"""Points. Thin enough to miss every neighbour at 4.5 pt leading of 10 pt type."""
_LEAVE, _REMOVE = 0, 0
"""PyMuPDF's PDF_REDACT_IMAGE_NONE, PDF_REDACT_LINE_ART_NONE and PDF_REDACT_TEXT_REMOVE."""
_MASK_FONT = "helv"


def cut_out(pdf: bytes, pages: Mapping[int, Sequence[TextFinding]]) -> bytes:
    """Remove the glyphs of the findings from the given pages (from 0) and write the masks."""
    document = open_for_reading(pdf)
    try:
        for number, findings in pages.items():
            page = document[number]
            rotation = page.rotation
            page.set_rotation(0)
            _cut(page, findings)
            for finding in findings:
                for glyph in finding.glyphs:
                    _write(page, glyph, finding.mask)
            page.set_rotation(rotation)
        return bytes(document.tobytes(garbage=0, no_new_id=True))
    finally:
        document.close()


def _cut(page: pymupdf.Page, findings: Sequence[TextFinding]) -> None:
    for finding in findings:
        for glyph in finding.glyphs:
            x0, y0, x1, y1 = glyph.box
            across, down = (x0 + x1) / 2, (y0 + y1) / 2
            width = min(_WIDTH, max((x1 - x0) / 2, 0.02))
            height = min(_HEIGHT, max((y1 - y0) / 2, 0.02))
            sliver = pymupdf.Rect(
                across - width / 2, down - height / 2, across + width / 2, down + height / 2
            )
            page.add_redact_annot(sliver, fill=False, cross_out=False)  # type: ignore[arg-type]  # False is no fill, None is white
    page.apply_redactions(images=_LEAVE, graphics=_LEAVE, text=_REMOVE)


def _write(page: pymupdf.Page, glyph: Glyph, mask: str) -> None:
    if not mask.strip():
        return
    colour = tuple((glyph.colour >> shift & 255) / 255 for shift in (16, 8, 0))
    cell = math.hypot(glyph.box[2] - glyph.box[0], 0.0) or glyph.size * 0.5
    size = min(glyph.size, cell / 0.6) if cell > 0 else glyph.size
    angle = math.degrees(math.atan2(glyph.direction[1], glyph.direction[0]))
    point = pymupdf.Point(glyph.origin)
    turn = (point, pymupdf.Matrix(angle)) if abs(angle) > 0.01 else None
    page.insert_text(
        point, mask, fontsize=max(size, 0.5), fontname=_MASK_FONT, color=colour, morph=turn
    )
