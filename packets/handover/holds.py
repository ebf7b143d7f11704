"""Reasons to hold a packet, in sentences, from what the stations reported."""

from collections.abc import Iterator, Mapping, Sequence

from packets.handover.facts import PacketPages
from packets.handover.masked import MaskedDocuments
from packets.handover.prepared import Prepared
from packets.intake.records import Inventory
from packets.outbound.records import Judgement, Verdict
from packets.recipe.model import Audience, Recipe, Role
from packets.selection.records import PagePlan
from packets.signatures.authority import any_matches
from packets.signatures.grants import GrantBook
from packets.signatures.records import MissingSignature

CONSENT = "consent-disclosure"
WET_INK = "wet-ink-scan"
MEF_ATTACHMENT_BYTES = 60_000_000


def missing_signatures(
    inventory: Inventory, prepared: Prepared, plan: PagePlan
) -> tuple[tuple[MissingSignature, bool], ...]:
    """Lines of the packet without a signature; True where the recipe demands one.

    The spouse's line asks nobody on the return of a single filer.
    """
    nobody = {"spouse"} - {person.role for person in inventory.engagement.person}
    demanded = {
        (page.document, page.number): part.signed_by
        for part in plan.parts
        for document in part.documents
        for page in document.pages
    }
    return tuple(
        (missing, missing.role in demanded[missing.document, missing.page])
        for document in prepared.documents
        for missing in document.signed.missing
        if (missing.document, missing.page) in demanded and missing.role not in nobody
    )


def signature_holds(
    inventory: Inventory, missing: Sequence[tuple[MissingSignature, bool]]
) -> Iterator[str]:
    """One sentence for each line that must be signed and is not."""
    for line, demanded in missing:
        if demanded:
            file = inventory.documents[line.document].file
            yield f"{file} page {line.page}: the {line.role}'s signature is missing: {line.why}"


def consent_holds(
    plan: PagePlan, inventory: Inventory, prepared: Prepared, grants: GrantBook
) -> Iterator[str]:
    """A third party gets nothing before a consent to disclose is signed (26 CFR 301.7216-3).

    Signed means: a signature image stands on the consent by a recorded grant, the
    consent came with a cryptographic signature, or a scan of the page signed by
    hand is recorded as such a grant. Every spouse on the return must have signed.
    """
    if not plan.needs_consent:
        return
    pages = set(plan.consent_pages)
    signed: set[str] = set()
    for document in prepared.documents:
        lines = document.signed
        signed |= {p.role for p in lines.placements if (p.document, p.page) in pages}
        signed |= {a.role for a in lines.already if (a.document, a.page) in pages}
    signed |= {
        grant.role.value
        for grant in grants.grants
        if grant.how == WET_INK and any_matches(grant.covers, CONSENT)
    }
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
