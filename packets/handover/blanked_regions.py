"""Take a region of a page out whole: its text, pixels and drawings, not only what is seen.

Done to the flattened document, before anybody looks for numbers in it. What is left of
the region is judged by another reader (PDFium): no glyph has its middle in it, and before
the grey field is laid over it, it shows one colour. Where that cannot be reached, the
packet is held.
"""

import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import pikepdf
import pymupdf

from packets.base.errors import Damaged
from packets.base.geometry import Box
from packets.handover.glyphs_as_shown import glyph_middles, shown_size
from packets.intake.page_corrections import Region
from packets.masking.user_space import as_shown, unrotated

if TYPE_CHECKING:
    import pypdfium2

_GREY = 0.82
_PIXELS = 2
"""Pixels of pictures inside the region go, others stay."""
_COVERED, _TOUCHED = 1, 2
"""Drawings go that lie inside the region whole, or that have any part in it."""
_HAIR = 0.5
"""Points by which half the width of a stroke reaches beyond its path."""
_DPI = 100
_SLACK = 3
"""Pixels at the rim of a region that may show what stands beside it."""
_EVEN = 12
"""Steps of grey, of 255, by which one colour may differ from pixel to pixel."""


@dataclass(frozen=True)
class Blanked:
    """A document whose regions were taken out."""

    pdf: bytes
    regions: tuple[Region, ...]
    """Those taken out, cut to their page."""
    faults: tuple[str, ...] = ()
    """Regions that could not be cleared, each with its page, in words."""


def blank_regions(pdf: bytes, regions: Sequence[Region]) -> Blanked:
    """Take every region out. Raises `Damaged` for a document that cannot be taken apart."""
    if not regions:
        return Blanked(pdf, ())
    try:
        cleared = _cleared(pdf, regions, _COVERED)
        busy = set(_not_even(cleared, regions)) | set(_drawn_over(cleared, regions))
        if busy:
            cleared = _cleared(pdf, regions, _TOUCHED, only=busy)
        faults = tuple(_faults(cleared, regions))
        done = _laid_over(cleared, regions)
        faults = faults or tuple(_not_covered(done, regions))
        return Blanked(done, _on_their_pages(cleared, regions), faults)
    except (
        pymupdf.FileDataError,
        pymupdf.mupdf.FzErrorBase,
        pikepdf.PdfError,
        RuntimeError,  # PDFium's own errors are of this kind, too
        ValueError,
    ):
        raise Damaged("regions of this document cannot be taken out") from None


def _cleared(
    pdf: bytes, regions: Sequence[Region], drawings: int, only: set[int] | None = None
) -> bytes:
    """Redacted, without a field in place of it; regions not in `only` with `_COVERED`."""
    with pymupdf.open(stream=pdf, filetype="pdf") as document:
        for graphics in (_COVERED, drawings):
            wanted = [
                region
                for at, region in enumerate(regions)
                if (graphics == _COVERED) is (only is None or at not in only)
            ]
            for number in sorted({region.page for region in wanted}):
                page = document[number - 1]
                for region in wanted:
                    if region.page == number:
                        page.add_redact_annot(_unturned(page, region.box), fill=False)
                page.apply_redactions(images=_PIXELS, graphics=graphics, text=0)
            if only is None:
                break
        return bytes(document.tobytes(garbage=3, no_new_id=True))


def _unturned(page: pymupdf.Page, box: Box) -> pymupdf.Rect:
    """The box as MuPDF counts it before the page is turned, in points of the enlarged page."""
    return pymupdf.Rect(pymupdf.Rect(box.x0, box.y0, box.x1, box.y1) * ~as_shown(page))


def _laid_over(pdf: bytes, regions: Sequence[Region]) -> bytes:
    """A grey field in place of each region, behind nothing else."""
    fields: dict[int, list[str]] = {}
    with pymupdf.open(stream=pdf, filetype="pdf") as document:
        for region in regions:
            page = document[region.page - 1]
            page.wrap_contents()
            field = _unturned(page, region.box) * ~unrotated(page)
            place = f"{field.x0:.3f} {field.y0:.3f} {field.width:.3f} {field.height:.3f}"
            fields.setdefault(region.page, []).append(f"{place} re")
        wrapped = document.tobytes(garbage=3, no_new_id=True)
    with pikepdf.open(io.BytesIO(wrapped)) as written:
        for number, paths in fields.items():
            drawn = f"q {_GREY} g {' '.join(paths)} f Q".encode()
            written.pages[number - 1].contents_add(drawn)
        out = io.BytesIO()
        written.save(out, deterministic_id=True)
        return out.getvalue()


def _drawn_over(pdf: bytes, regions: Sequence[Region]) -> Iterator[int]:
    """Regions into which a drawing reaches, but for a background that lies behind all of it."""
    with pymupdf.open(stream=pdf, filetype="pdf") as document:
        for at, region in enumerate(regions):
            page = document[region.page - 1]
            area = _unturned(page, region.box)
            wide = pymupdf.Rect(area.x0 - _HAIR, area.y0 - _HAIR, area.x1 + _HAIR, area.y1 + _HAIR)
            for drawing in page.get_drawings():
                items = drawing["items"]
                behind = all(it[0] == "re" and area in pymupdf.Rect(it[1]) for it in items)
                reach = pymupdf.Rect(drawing["rect"])
                reached = (
                    reach.x0 <= wide.x1
                    and wide.x0 <= reach.x1
                    and reach.y0 <= wide.y1
                    and wide.y0 <= reach.y1
                )  # a rule has no height, and then meets nothing for MuPDF
                if reached and not behind:
                    yield at
                    break


def _faults(pdf: bytes, regions: Sequence[Region]) -> Iterator[str]:
    lettered = set(_with_text(pdf, regions))
    uneven = set(_not_even(pdf, regions))
    for at, region in enumerate(regions):
        if at in lettered:
            yield f"page {region.page}: text is left in a region that was to be blanked"
        elif at in uneven:
            yield f"page {region.page}: something is left in a region that was to be blanked"


def _not_covered(pdf: bytes, regions: Sequence[Region]) -> Iterator[str]:
    for at in _not_even(pdf, regions):
        yield f"page {regions[at].page}: a blanked region is not grey throughout"


def _with_text(pdf: bytes, regions: Sequence[Region]) -> Iterator[int]:
    """Regions in which PDFium finds the middle of a glyph that is no space."""
    for page, placed in _pages(pdf, regions):
        width, height = shown_size(page)
        middles = [(x / width, y / height) for _, x, y in glyph_middles(page)]
        for at, box in placed:
            if any(box.x0 < x < box.x1 and box.y0 < y < box.y1 for x, y in middles):
                yield at


def _not_even(pdf: bytes, regions: Sequence[Region]) -> Iterator[int]:
    """Regions that show more than one colour."""
    import numpy as np  # noqa: PLC0415 - most documents have no region

    for page, placed in _pages(pdf, regions):
        shown = page.render(scale=_DPI / 72, may_draw_forms=False).to_numpy()
        height, width = shown.shape[:2]
        for at, box in placed:
            rows = _inside(box.y0 * height, box.y1 * height)
            columns = _inside(box.x0 * width, box.x1 * width)
            field = shown[rows, columns].astype(np.int16)
            if field.size and np.ptp(field, axis=(0, 1)).max() > _EVEN:
                yield at


def _inside(first: float, last: float) -> slice:
    return slice(round(first) + _SLACK, max(round(last) - _SLACK, 0))


def _pages(
    pdf: bytes, regions: Sequence[Region]
) -> Iterator[tuple["pypdfium2.PdfPage", list[tuple[int, Box]]]]:
    """Each page that has regions, with their order and boxes in shares of its size as shown."""
    import pypdfium2  # noqa: PLC0415 - most documents have no region

    with pymupdf.open(stream=pdf, filetype="pdf") as document:
        sizes = {region.page: document[region.page - 1].rect for region in regions}
    reader = pypdfium2.PdfDocument(pdf)
    try:
        for number, size in sorted(sizes.items()):
            yield (
                reader[number - 1],
                [
                    (at, _share(region.box, size.width, size.height))
                    for at, region in enumerate(regions)
                    if region.page == number
                ],
            )
    finally:
        reader.close()


def _share(box: Box, width: float, height: float) -> Box:
    return Box(box.x0 / width, box.y0 / height, box.x1 / width, box.y1 / height)


def _on_their_pages(pdf: bytes, regions: Sequence[Region]) -> tuple[Region, ...]:
    with pymupdf.open(stream=pdf, filetype="pdf") as document:
        found = []
        for region in regions:
            page = document[region.page - 1].rect
            box = region.box
            cut = Box(box.x0, box.y0, min(box.x1, page.width), min(box.y1, page.height))
            found.append(Region(region.page, cut, region.why))
        return tuple(found)
