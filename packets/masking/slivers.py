"""Take glyphs out with MuPDF's redaction, where the content stream would not say where they stand.

MuPDF takes out a glyph when its box meets a redaction box at all, so each box
is a sliver at the middle of its glyph and the neighbours stay. The mask is
written afterwards at the origin of each glyph, in its size and colour.
"""

from collections.abc import Iterator, Mapping, Sequence

import pymupdf

from packets.masking.findings import TextFinding
from packets.masking.survey import open_for_reading
from packets.reading.glyphs import Glyph, PageGlyphs, page_glyphs

_WIDTH, _HEIGHT = 0.6, 0.2
"""Points. MuPDF takes a glyph to reach from 0.15 of its size below the baseline to 0.95 above,
so a sliver in the middle misses the lines around it down to a leading of 0.56 of the size."""
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
            across, down = glyph.middle
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


def faults_of_cut(
    before: bytes, after: bytes, pages: Mapping[int, Sequence[TextFinding]]
) -> Iterator[str]:
    """What the cutting left standing, or took along besides; a sentence each."""
    old, new = open_for_reading(before), open_for_reading(after)
    try:
        for number, findings in pages.items():
            gone = [glyph for finding in findings for glyph in finding.glyphs]
            masks = sum(len(item.glyphs) for item in findings if item.mask.strip())
            read = page_glyphs(new[number], clipping=True)
            if _meets(read, gone):
                yield f"page {number + 1}: a number could not be taken out"
            was = _inked(page_glyphs(old[number], clipping=True))
            if _inked(read) != was - len(gone) + masks:
                yield f"page {number + 1}: text near a number could not be kept"
    finally:
        old.close()
        new.close()


def _inked(read: PageGlyphs) -> int:
    return sum(not char.isspace() for char in read.drawn)


def _meets(read: PageGlyphs, gone: Sequence[Glyph]) -> bool:
    """Whether a glyph that was to go still stands where it stood."""
    places: dict[str, list[tuple[float, float]]] = {}
    for k, char in enumerate(read.drawn):
        places.setdefault(char, []).append(read[k].origin)
    return any(
        abs(x - glyph.origin[0]) <= _SAME and abs(y - glyph.origin[1]) <= _SAME
        for glyph in gone
        for x, y in places.get(glyph.char, ())
    )
