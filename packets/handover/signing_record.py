"""The signing record of a packet, from the places, the grants and the sources they stand in.

It says the same as `signatures` of the manifest: the same grants, images and pages.
"""

from collections.abc import Iterator

from packets.assembly.records import RecordEntry
from packets.handover.prepared import Prepared
from packets.intake.records import Inventory, SourceDocument
from packets.recipe.model import Role
from packets.sealing.number_free import plain_text
from packets.selection.records import PagePlan
from packets.signatures.grant import REMOTE, Evidence, Grant
from packets.signatures.grants import GrantBook
from packets.signatures.records import Placement

ROLES = {
    "taxpayer": "Taxpayer",
    "spouse": "Spouse",
    "ero": "ERO",
    "preparer": "Paid preparer",
    "other": "Another person",
}
HOW = {
    "signature-pad": "on a signature pad",
    "on-screen": "on a screen",
    "remote": "remotely",
    "wet-ink-scan": "in ink on paper, scanned",
    "stamp": "as a facsimile for the season",
    "rubber-stamp": "as a rubber stamp",
    "mechanical-device": "by a mechanical device",
    "computer-software": "as a facsimile by computer software",
}
_GROUP = 8


def signing_record(
    inventory: Inventory, plan: PagePlan, prepared: Prepared, grants: GrantBook
) -> tuple[RecordEntry, ...]:
    """One entry for each grant used in the packet, then one for each electronic signature."""
    order = bound_order(plan)
    placed: dict[str, list[Placement]] = {}
    for document in prepared.documents:
        for placement in document.signed.placements:
            if (placement.document, placement.page) in order:
                placed.setdefault(placement.grant, []).append(placement)
    entries = []
    for grant in sorted(grants.grants, key=lambda grant: (list(Role).index(grant.role), grant.id)):
        placements = placed.get(grant.id, [])
        if placements:
            pages = sorted({order[place.document, place.page] for place in placements})
            facts = tuple(_facts(grant, placements, inventory))
            heading = f"{ROLES[grant.role.value]}: grant {plain_text(grant.id)}"
            entries.append(RecordEntry(heading, facts, tuple(pages)))
    return (*entries, *_electronic(inventory, plan))


def bound_order(plan: PagePlan) -> dict[tuple[int, int], int]:
    """Place of each planned page in the order in which pages are bound, from 0.

    The pages of a planned document that draws on several sources go source by source.
    """
    order: dict[tuple[int, int], int] = {}
    for part in plan.parts:
        for document in part.documents:
            for index in dict.fromkeys(page.document for page in document.pages):
                for page in document.pages:
                    if page.document == index:
                        order[page.document, page.number] = len(order)
    return order


def _facts(
    grant: Grant, placements: list[Placement], inventory: Inventory
) -> Iterator[tuple[str, str]]:
    yield "Given", f"{grant.given_at.isoformat(sep=' ')}, {HOW[grant.how]}"
    yield "Identity", plain_text(_identity(grant)) or "nothing recorded"
    if grant.how == REMOTE:
        yield "Verification", _remote(grant.evidence)
    yield "Covers", f"{', '.join(grant.covers)}, until {grant.valid_until}"
    yield "Bound to", _bound(grant)
    yield "Recorded by", plain_text(grant.recorded_by)
    for digest in dict.fromkeys(place.image_sha256 for place in placements):
        yield "Image", grouped(digest)
    if grant.document_sha256:
        yield "Signed document", grouped(grant.document_sha256)
    for index in dict.fromkeys(place.document for place in placements):
        source = inventory.documents[index]
        yield "Placed in", plain_text(source.file)
        if source.sha256 != grant.document_sha256:
            yield "", grouped(source.sha256)


def grouped(digest: str) -> str:
    """A digest in groups of eight: no run in it is long enough to look like a number."""
    return " ".join(digest[at : at + _GROUP] for at in range(0, len(digest), _GROUP))


def _identity(grant: Grant) -> str:
    seen = grant.evidence
    told = [
        grant.identity_check.strip(),
        "government photo ID seen" if seen.photo_id_seen else "",
        f"client of this office since tax year {seen.client_since}" if seen.client_since else "",
        f"identity verification {seen.verification}" if seen.verification else "",
    ]
    return "; ".join(filter(None, told))


def _remote(seen: Evidence) -> str:
    return plain_text(
        f"level {seen.verification_level} (NIST SP 800-63), attempts {seen.attempts}, "
        f"IP address {seen.ip_address}, login name {seen.login_name}"
    )


def _bound(grant: Grant) -> str:
    bound = [
        words
        for words, there in (
            ("the document that was signed", bool(grant.document_sha256)),
            ("the figures on it (Pub. 1345)", grant.figures is not None),
        )
        if there
    ]
    return " and ".join(bound) or "no single document"


def _electronic(inventory: Inventory, plan: PagePlan) -> Iterator[RecordEntry]:
    """Signatures that sources bore; their validity ended when the packet was made."""
    used = {page.document for page in plan.pages}
    for index, source in enumerate(inventory.documents):
        if index in used:
            for signature in source.signatures:
                facts = (
                    ("Field", plain_text(signature.field)),
                    ("Signed by", plain_text(signature.words)),
                    ("In force in", f"{_file(source)}, not in this packet"),
                    ("", grouped(source.sha256)),
                )
                yield RecordEntry("Signed electronically before", facts)


def _file(source: SourceDocument) -> str:
    return plain_text(source.file)
