"""Take glyphs out with MuPDF's redaction, where the content stream would not say where they stand.

MuPDF takes out a glyph when its box meets a redaction box at all, so each box
is a sliver at the middle of its glyph and the neighbours stay. The mask is
written afterwards at the origin of each glyph, in its size and colour.
"""

from collections.abc import Mapping, Sequence

import pymupdf

from packets.masking.findings import TextFinding
from packets.masking.survey import open_for_reading
from packets.reading.glyphs import Glyph, page_glyphs

_WIDTH, _HEIGHT = 0.6, 0.2
"""Points. Thin enough to miss every neighbour at 4.5 pt leading of 10 pt type."""
_LEAVE, _REMOVE = 0, 0
"""PyMuPDF's PDF_REDACT_IMAGE_NONE, PDF_REDACT_LINE_ART_NONE and PDF_REDACT_TEXT_REMOVE."""
_MASK_FONT = "helv"
_SAME = 0.2
"""Origins this close, in points, are the same place."""


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
    """Set one mask character in the middle of the cell of the glyph that went."""
    if not mask.strip() or glyph.size <= 0:
        return
    own = pymupdf.get_text_length(mask, fontname=_MASK_FONT, fontsize=glyph.size)
    cell = glyph.advance or own
    narrowed = min(cell / own, 1.0)
    cosine, sine = glyph.direction
    ahead = (cell - own * narrowed) / 2
    x, y = glyph.origin
    point = pymupdf.Point(x + ahead * cosine, y + ahead * sine)
    turned = pymupdf.Matrix(narrowed, 0, 0, 1, 0, 0) * pymupdf.Matrix(
        cosine, -sine, sine, cosine, 0, 0
    )
    page.insert_text(
        point,
        mask,
        fontsize=glyph.size,
        fontname=_MASK_FONT,
        color=glyph.colour or (0,),
        morph=(point, turned),
    )


def left_standing(pdf: bytes, pages: Mapping[int, Sequence[TextFinding]]) -> tuple[int, ...]:
    """Pages on which a glyph that was to go still stands where it stood."""
    document = open_for_reading(pdf)
    try:
        return tuple(
            number
            for number, findings in pages.items()
            if _meets(document[number], [glyph for item in findings for glyph in item.glyphs])
        )
    finally:
        document.close()


def _meets(page: pymupdf.Page, gone: Sequence[Glyph]) -> bool:
    read = page_glyphs(page, clipping=True)
    places: dict[str, list[tuple[float, float]]] = {}
    for k, char in enumerate(read.drawn):
        if not char.isspace():
            places.setdefault(char, []).append(read[k].origin)
    return any(
        abs(x - glyph.origin[0]) <= _SAME and abs(y - glyph.origin[1]) <= _SAME
        for glyph in gone
        for x, y in places.get(glyph.char, ())
    )
