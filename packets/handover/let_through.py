"""A packet with what a person let through, and its twin that is masked whole."""

from collections.abc import Iterator
from dataclasses import dataclass

from packets.base.secret import Secret
from packets.handover.exception_check import exception_holds
from packets.handover.exceptions import Excepted, without
from packets.handover.facts import packet_pages
from packets.handover.masked import MaskedDocuments
from packets.handover.prepared import Prepared
from packets.handover.shares import Bindery, Share
from packets.identifiers.kinds import MaskPolicy
from packets.intake.records import Inventory
from packets.masking.mask_document import MaskOrder, mask_document
from packets.outbound.records import Verdict
from packets.reading.ocr import OcrReader
from packets.sealing.encrypt import seal
from packets.sealing.records import SealedPacket
from packets.selection.records import PagePlan


def refused_exceptions(inventory: Inventory, prepared: Prepared) -> Iterator[str]:
    """What a person wants let through and may not be."""
    for index, words in prepared.exceptions.refused if prepared.exceptions else ():
        yield f"{inventory.documents[index].file} {words}"


def let_through(
    prepared: Prepared, plan: PagePlan, masked: MaskedDocuments, policy: MaskPolicy, ocr: OcrReader
) -> MaskedDocuments:
    """The masked documents, those with exceptions masked again but for these.

    What comes of it is never kept for another build: only what is masked whole is.
    """
    found = prepared.exceptions
    if found is None:
        return masked
    blank = {(page.document, page.number) for page in plan.pages if page.blank_numbers}
    done = dict(masked)
    for index in found.of.keys() & masked.keys():
        numbers, _ = masked[index]
        document = prepared.documents[index]
        order = MaskOrder(
            pdf=document.pdf,
            survey=without(document.survey, found.of[index]),
            pages=tuple(number - 1 for number in numbers),
            known=found.known,
            policy=policy,
            blank=frozenset(number - 1 for at, number in blank if at == index),
        )
        done[index] = (numbers, mask_document(order, ocr))
    return done


@dataclass(frozen=True)
class Twin:
    """The packet as it would be with every number masked."""

    packet: bytes
    """Not encrypted."""
    sealed: SealedPacket


def twin_of(bindery: Bindery, share: Share, passphrase: Secret | None) -> Twin:
    """The twin of a share; `bindery` holds the documents that are masked whole."""
    marked = f"{share.number} of {share.of}" if share.of > 1 else ""
    packet = bindery.bound(share.plan, marked).pdf
    return Twin(packet, seal(packet, passphrase))


def excepted_places(prepared: Prepared, share: Share) -> dict[int, tuple[Excepted, ...]]:
    """What is let through, by packet page."""
    found: dict[int, tuple[Excepted, ...]] = {}
    pages = packet_pages(share.plan, share.assembled)
    for index, every in prepared.exceptions.of.items() if prepared.exceptions else ():
        for one in every:
            number = pages.get((index, one.page))
            if number is not None:
                found[number] = (*found.get(number, ()), one)
    return found


def let_through_holds(
    prepared: Prepared, share: Share, twin: Twin, sealed: SealedPacket, verdict: Verdict | None
) -> Iterator[str]:
    """Why the packet may not go though its twin is clean."""
    if verdict is None:
        yield "the packet was not checked with what was let through"
        return
    places = excepted_places(prepared, share)
    yield from exception_holds(share.assembled.pdf, twin.packet, sealed, verdict, places)
