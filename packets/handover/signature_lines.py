"""The signature lines of a packet: who is asked, who signed, and what is missing."""

from collections import Counter
from collections.abc import Iterator, Sequence

from packets.handover.prepared import Prepared
from packets.intake.records import Inventory
from packets.recipe.model import Role
from packets.selection.records import PagePlan
from packets.signatures.records import MissingSignature, RoleLines


def nobody_in(inventory: Inventory) -> set[str]:
    """Roles whose lines ask nobody: the spouse's on the return of a single filer."""
    return {Role.SPOUSE.value} - {person.role for person in inventory.engagement.person}


def missing_signatures(
    inventory: Inventory, prepared: Prepared, plan: PagePlan
) -> tuple[tuple[MissingSignature, bool], ...]:
    """Lines of the packet without a signature; True where the recipe demands one."""
    nobody = nobody_in(inventory)
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


def role_lines(inventory: Inventory, prepared: Prepared, plan: PagePlan) -> tuple[RoleLines, ...]:
    """For each role, how many lines of the packet ask for it and how many are signed."""
    pages = {(page.document, page.number) for page in plan.pages}
    signed: Counter[str] = Counter()
    open_lines: Counter[str] = Counter()
    for document in prepared.documents:
        lines = document.signed
        signed.update(p.role for p in lines.placements if (p.document, p.page) in pages)
        signed.update(a.role for a in lines.already if (a.document, a.page) in pages)
        open_lines.update(
            m.role for m in lines.missing if not m.is_date and (m.document, m.page) in pages
        )
    nobody = nobody_in(inventory)
    return tuple(
        RoleLines(role.value, asked, signed[role.value], role.value in nobody)
        for role in Role
        if (asked := signed[role.value] + open_lines[role.value])
    )


def signature_holds(
    inventory: Inventory, missing: Sequence[tuple[MissingSignature, bool]]
) -> Iterator[str]:
    """One sentence for each line that must be signed and is not."""
    for line, demanded in missing:
        if demanded:
            file = inventory.documents[line.document].file
            what = f"the {line.role}'s signature"
            if line.is_date:
                what = f"the date beside {what}"
            yield f"{file} page {line.page}: {what} is missing: {line.why}"
