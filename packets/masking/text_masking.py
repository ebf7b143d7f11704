"""Take the digits of text findings out of a document's content streams."""

from collections.abc import Mapping, Sequence

import pikepdf

from packets.masking.findings import TextFinding
from packets.masking.in_place import InPlaceMasker
from packets.masking.targets import Targets


def mask_text(pdf: pikepdf.Pdf, pages: Mapping[int, Sequence[TextFinding]]) -> tuple[int, ...]:
    """Mask in place; return the pages (from 0) on which some glyph was not met.

    On those the caller takes the glyphs out another way and looks again.
    """
    masker = InPlaceMasker(pdf)
    unmet = []
    for number, findings in pages.items():
        targets = Targets((x, y, finding.mask) for finding in findings for x, y in finding.origins)
        if not masker.mask_page(pdf.pages[number], targets):
            unmet.append(number)
    return tuple(unmet)
