"""One packet, or several numbered ones that each fit a message.

In this order: as it is; with its pictures brought down; split at part borders, each
share with a cover sheet, outline and page numbers of its own. What fits in no way is
refused with its largest pages.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from packets.assembly.assemble import assemble
from packets.assembly.records import AssembledPacket
from packets.base.errors import OverLimit
from packets.handover.facts import packet_pages
from packets.handover.holds import origins_of
from packets.handover.masked import MaskedDocuments, binding_of
from packets.handover.prepared import Prepared
from packets.handover.signing_record import signing_record
from packets.intake.records import Inventory
from packets.mailing.page_weights import megabytes, page_weights
from packets.mailing.slim_pictures import DOTS_AN_INCH, QUALITIES, slim_pictures
from packets.masking.records import MaskedDocument
from packets.recipe.model import Recipe
from packets.selection.records import LeftOut, PagePlan, PlannedPart
from packets.signatures.grants import GrantBook

_LARGEST_NAMED = 3
_SPARE = 64 * 1024
"""Bytes that encryption and the words of a numbered cover sheet may add."""


@dataclass(frozen=True)
class Share:
    """One packet to be: its pages, and what assembly made of them."""

    plan: PagePlan
    assembled: AssembledPacket
    number: int = 1
    of: int = 1


@dataclass(frozen=True)
class Shares:
    """What one build releases."""

    shares: tuple[Share, ...]
    notes: tuple[str, ...] = ()
    """What was done so that each fits, in sentences."""


@dataclass(frozen=True)
class Bindery:
    """All that assembly needs, for any choice of parts."""

    inventory: Inventory
    recipe: Recipe
    prepared: Prepared
    grants: GrantBook
    masked: MaskedDocuments

    def bound(self, plan: PagePlan, marked: str = "") -> AssembledPacket:
        """The packet of this plan; `marked` such as `1 of 3` stands behind its title."""
        wanted = self.recipe.signing_record
        record = signing_record(self.inventory, plan, self.prepared, self.grants) if wanted else ()
        binding = binding_of(self.inventory, plan, self.recipe, self.masked, record)
        title = f"{binding.title} ({marked})" if marked else binding.title
        return assemble(replace(binding, title=title))


def shares_of(bindery: Bindery, plan: PagePlan, most_bytes: int | None) -> Shares:
    """The packets to seal; `most_bytes` is the largest whole message, None for no limit.

    Raises `OverLimit` where one part by itself is too large.
    """
    whole = bindery.bound(plan)
    if most_bytes is None or _fits(whole, most_bytes):
        return Shares((Share(plan, whole),))
    notes: tuple[str, ...] = ()
    given = bindery.masked
    for quality in QUALITIES:
        masked, pictures = _slimmed(given, quality)
        if not pictures:
            continue
        bindery = replace(bindery, masked=masked)
        notes = (
            f"pictures brought down to {DOTS_AN_INCH} dots an inch and JPEG quality {quality}, to "
            f"fit a message: {pictures}",
        )
        whole = bindery.bound(plan)
        if _fits(whole, most_bytes):
            return Shares((Share(plan, whole),), notes)
    groups = _groups(bindery, plan, most_bytes)
    return Shares(tuple(_numbered(bindery, plan, groups)), notes)


def _slimmed(masked: MaskedDocuments, quality: int) -> tuple[MaskedDocuments, int]:
    found: dict[int, tuple[tuple[int, ...], MaskedDocument]] = {}
    pictures = 0
    for index, (pages, document) in masked.items():
        slim = slim_pictures(document.pdf, quality)
        pictures += slim.pictures
        found[index] = (pages, replace(document, pdf=slim.pdf))
    return found, pictures


def _groups(
    bindery: Bindery, plan: PagePlan, most_bytes: int
) -> tuple[tuple[PlannedPart, ...], ...]:
    """Neighbouring parts together as long as they fit."""
    groups: list[tuple[PlannedPart, ...]] = []
    for part in plan.parts:
        together = (*groups[-1], part) if groups else (part,)
        if groups and _fits(bindery.bound(replace(plan, parts=together)), most_bytes):
            groups[-1] = together
            continue
        alone = replace(plan, parts=(part,))
        _demand_fits(bindery, alone, most_bytes)
        groups.append((part,))
    return tuple(groups)


def _numbered(
    bindery: Bindery, plan: PagePlan, groups: tuple[tuple[PlannedPart, ...], ...]
) -> Iterator[Share]:
    of = len(groups)
    for number, group in enumerate(groups, start=1):
        elsewhere = tuple(
            left
            for other, parts in enumerate(groups, start=1)
            if other != number
            for left in _left_for(parts, f"it is in packet {other} of {of}")
        )
        share = replace(plan, parts=group, left_out=(*plan.left_out, *elsewhere))
        marked = f"{number} of {of}" if of > 1 else ""
        yield Share(share, bindery.bound(share, marked), number, of)


def _left_for(parts: tuple[PlannedPart, ...], why: str) -> Iterator[LeftOut]:
    pages: dict[int, list[int]] = {}
    for part in parts:
        for document in part.documents:
            for page in document.pages:
                pages.setdefault(page.document, []).append(page.number)
    for document_index, numbers in sorted(pages.items()):
        yield LeftOut(document_index, tuple(sorted(numbers)), why)


def _fits(assembled: AssembledPacket, most_bytes: int) -> bool:
    from packets.mailing.message import size_of_message  # noqa: PLC0415 - many go without a limit

    return size_of_message(len(assembled.pdf) + _SPARE) <= most_bytes


def _demand_fits(bindery: Bindery, plan: PagePlan, most_bytes: int) -> None:
    assembled = bindery.bound(plan)
    if _fits(assembled, most_bytes):
        return
    origins = origins_of(bindery.inventory, packet_pages(plan, assembled))
    raise OverLimit(
        f"the part {plan.parts[0].heading!r} alone is too large for a message of "
        f"{most_bytes:,} bytes; the largest pages are {_largest(assembled, origins)}",
        where="max_message_mb",
        remedy="Scan these pages at a lower resolution or in grey, leave them out, or hand the "
        "packet over in another way. Nothing was released.",
    )


def _largest(assembled: AssembledPacket, origins: Mapping[int, str]) -> str:
    weighed = sorted(enumerate(page_weights(assembled.pdf), start=1), key=lambda pair: -pair[1])
    named = [
        f"{origins[page]} ({megabytes(weight)})" for page, weight in weighed if page in origins
    ]
    return ", ".join(named[:_LARGEST_NAMED])
