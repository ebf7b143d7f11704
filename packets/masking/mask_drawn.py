"""Numbers in ink that no font tells, taken out before the text is masked."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from packets.identifiers.kinds import KnownNumber, MaskPolicy
from packets.masking.drawn_findings import drawn_findings
from packets.masking.drawn_records import DrawnFinding
from packets.masking.drawn_removal import take_out_drawn
from packets.masking.records import Masked
from packets.masking.survey import Survey


@dataclass(frozen=True)
class DrawnMasked:
    """A document without the drawn numbers of the pages that are taken."""

    pdf: bytes
    masks: tuple[Masked, ...]
    unread: tuple[str, ...]
    """What could not be read or taken out, in words with its page."""
    glyphs: bool = False
    """Whether some were glyphs of fonts that call them by false names."""


def mask_drawn(
    pdf: bytes,
    survey: Survey,
    pages: Sequence[int],
    known: Sequence[KnownNumber],
    policy: MaskPolicy,
    blank: frozenset[int],
) -> DrawnMasked:
    """Take out the drawn numbers on `pages` (from 0); the same bytes where there are none."""
    taken = set(pages)
    surveys = [drawn for drawn in survey.drawn if drawn.page in taken]
    found = {
        drawn.page: drawn_findings(drawn, known, policy, blank=drawn.page in blank)
        for drawn in surveys
    }
    unread = [words for drawn in surveys for words in drawn.unread]
    if not any(found.values()):
        return DrawnMasked(pdf, (), tuple(unread))
    removal = take_out_drawn(pdf, found)
    unread += [
        f"page {finding.page + 1}: a drawn number of kind {finding.kind} could not be taken out"
        for finding in removal.undone
    ]
    glyphs = any(finding.origins for findings in found.values() for finding in findings)
    return DrawnMasked(removal.pdf, _records(found), tuple(unread), glyphs)


def _records(found: Mapping[int, Sequence[DrawnFinding]]) -> tuple[Masked, ...]:
    return tuple(
        Masked(
            finding.kind,
            finding.shown,
            finding.page + 1,
            finding.place,
            "barcode" if finding.barcode else "drawing",
        )
        for findings in found.values()
        for finding in findings
    )
