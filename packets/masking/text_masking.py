"""Take the digits of text findings out of a document's content streams."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import pikepdf
import pymupdf

from packets.masking.findings import TextFinding, origin_in_pdf
from packets.masking.in_place import InPlaceMasker
from packets.masking.targets import Targets


@dataclass(frozen=True)
class TextTargets:
    """The origins to be masked on one page."""

    page: int
    """From 0."""
    origins: tuple[tuple[float, float, str], ...]
    """x, y in default user space, and the mask character."""


def targets_of(page: pymupdf.Page, findings: Sequence[TextFinding]) -> TextTargets:
    """Where the glyphs of a page's findings stand in default user space."""
    origins = tuple(
        (*origin_in_pdf(page, glyph), finding.mask)
        for finding in findings
        for glyph in finding.glyphs
    )
    return TextTargets(page.number, origins)


def mask_text(pdf: pikepdf.Pdf, pages: Mapping[int, TextTargets]) -> tuple[int, ...]:
    """Mask in place; return the pages (from 0) on which some glyph was not met.

    On those the caller takes the glyphs out another way and looks again.
    """
    masker = InPlaceMasker(pdf)
    unmet = []
    for number, wanted in pages.items():
        if not masker.mask_page(pdf.pages[number], Targets(wanted.origins)):
            unmet.append(number)
    return tuple(unmet)
