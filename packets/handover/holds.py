"""Reasons to hold a packet, in sentences, from what the stations reported."""

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from enum import StrEnum

from packets.handover.facts import PacketPages
from packets.handover.masked import MaskedDocuments
from packets.handover.prepared import Prepared
from packets.intake.records import Inventory
from packets.outbound.records import Judgement, Verdict
from packets.proving.records import Proof
from packets.recipe.model import Audience, Recipe, Role
from packets.selection.records import PagePlan
from packets.signatures.grant import WET_INK
from packets.signatures.grants import GrantBook
from packets.signatures.rule import Asked

CONSENT = "consent-disclosure"
MEF_ATTACHMENT_BYTES = 60_000_000


class Hold(Exception):
    """Something stands against the packet; the reasons, in sentences, and the station."""

    def __init__(self, reasons: tuple[str, ...], station: "Station") -> None:
        super().__init__(f"{len(reasons)} reasons")
        self.reasons, self.station = reasons, station


class Station(StrEnum):
    """Where on its way a packet was held. The ledger names it."""

    CHOICE = "choice of pages"
    SIGNING = "signing"
    MASKING = "masking"
    SIZE = "size"
    CHECK = "check"
    PROOF = "proof of the check"


def hold_for(reasons: Iterable[str], station: Station) -> None:
    """Raise `Hold` if there is any reason."""
    found = tuple(reasons)
    if found:
        raise Hold(found, station)


def consent_holds(
    plan: PagePlan, inventory: Inventory, prepared: Prepared, grants: GrantBook, today: dt.date
) -> Iterator[str]:
    """A third party gets nothing before a consent to disclose is signed (26 CFR 301.7216-3).

    Signed means: a signature image stands on the consent by a recorded grant, the
    consent came with a cryptographic signature, or a scan of the page signed by
    hand is recorded as a grant that keeps every rule today. Every spouse on the
    return must have signed.
    """
    if not plan.needs_consent:
        return
    pages = set(plan.consent_pages)
    signed: set[str] = set()
    for document in prepared.documents:
        lines = document.signed
        signed |= {p.role for p in lines.placements if (p.document, p.page) in pages}
        signed |= {a.role for a in lines.already if (a.document, a.page) in pages}
    signed |= set(_signed_by_hand(plan, inventory, grants, today))
    asked = {person.role for person in inventory.engagement.person} & {
        Role.TAXPAYER.value,
        Role.SPOUSE.value,
    }
    for role in sorted(asked or {Role.TAXPAYER.value}):
        if role not in signed:
            yield (
                f"the consent to disclose is not signed by the {role}: "
                "26 CFR 301.7216-3 asks for it before anything is disclosed"
            )


def _signed_by_hand(
    plan: PagePlan, inventory: Inventory, grants: GrantBook, today: dt.date
) -> Iterator[str]:
    """Roles whose signature by hand on one of the consents is on record."""
    for index in {document for document, _ in plan.consent_pages}:
        for role in (Role.TAXPAYER, Role.SPOUSE):
            asked = Asked(
                role=role,
                category=CONSENT,
                tax_year=inventory.engagement.engagement.tax_year,
                today=today,
                document_sha256=inventory.documents[index].sha256,
            )
            if any(grant.how == WET_INK for grant in grants.allowed(asked)):
                yield role.value


def blank_holds(inventory: Inventory, prepared: Prepared) -> Iterator[str]:
    """Regions that were to be taken out and could not be cleared."""
    for document in prepared.documents:
        for words in document.not_blanked:
            yield f"{inventory.documents[document.index].file} {words}"


def masking_holds(inventory: Inventory, masked: MaskedDocuments) -> Iterator[str]:
    """Places that could not be masked or read."""
    for index, (_, document) in masked.items():
        for words in document.unread:
            yield f"{inventory.documents[index].file} {words}"


def verdict_holds(verdict: Verdict, origins: Mapping[int, str] | None = None) -> Iterator[str]:
    """What the outbound check saw or could not read; page and kind, never the number.

    `origins` says for each packet page which source page it is.
    """
    if verdict.judgement is Judgement.CLEAN:
        return
    origins = origins or {}
    for sighting in verdict.sightings:
        where = f"page {sighting.page}" if sighting.page else "the file"
        if sighting.page in origins:
            where += f" ({origins[sighting.page]})"
        yield (
            f"{where}: {sighting.kind} in {sighting.place}, seen by {sighting.reader} "
            f"({sighting.how_sure})"
        )
    for words in verdict.unread:
        yield f"could not be read: {words}"


def proof_holds(proof: Proof | None) -> Iterator[str]:
    """Places of the proof whose number the check did not find: then it may miss others too."""
    if proof is None:
        yield "the check was not proved on a copy of this packet"
        return
    for place in proof.missed:
        yield (
            f"the check is not to be trusted here: it did not find the number that was planted "
            f"in a copy of this packet ({place})"
        )


def origins_of(inventory: Inventory, places: PacketPages) -> dict[int, str]:
    """For each packet page the file and page it was made from."""
    return {
        packet: f"{inventory.documents[index].file} page {number}"
        for (index, number), packet in places.items()
    }


def size_holds(recipe: Recipe, size: int) -> Iterator[str]:
    """An attachment to an e-filed return may have 60 MB at most (IRS MeF guidance)."""
    if recipe.audience is Audience.AGENCY and size > MEF_ATTACHMENT_BYTES:
        yield f"the packet has {size:,} bytes; the agency takes {MEF_ATTACHMENT_BYTES:,} at most"
