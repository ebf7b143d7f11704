"""Take the digits of text findings out of a document's content streams."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import pikepdf

from packets.masking.findings import TextFinding
from packets.masking.fresh_places import places_of
from packets.masking.in_place import InPlaceMasker
from packets.masking.judged_streams import JudgedStreams
from packets.masking.targets import Targets


@dataclass(frozen=True)
class MaskedText:
    """What masking in place did to a document."""

    unmet: tuple[int, ...]
    """Pages, from 0, on which some glyph was not met: they are as they were."""
    removed: Mapping[tuple[int, int], set[int]]
    """Codes that went, by the object number of their font."""
    judged: JudgedStreams
    """What is known of the document's content streams by now."""


def mask_text(pdf: pikepdf.Pdf, pages: Mapping[int, Sequence[TextFinding]]) -> MaskedText:
    """Mask in place. On unmet pages the caller takes the glyphs out another way and looks again."""
    masker = InPlaceMasker(pdf)
    unmet = []
    for number, findings in pages.items():
        targets = Targets(places_of(findings))
        if not masker.mask_page(pdf.pages[number], targets):
            unmet.append(number)
    return MaskedText(tuple(unmet), masker.removed, masker.judged)
