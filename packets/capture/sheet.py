"""What the page shows, in words, from the request, the engagement and the document."""

from packets.capture.consent import ROLE_WORDS, consent_sentence, papers_in_words, said_day
from packets.capture.records import Sheet
from packets.handover.grant_records import GrantRequest
from packets.handover.shown_copy import ScreenPages
from packets.intake.engagement import EngagementFile
from packets.intake.records import SourceDocument
from packets.recipe.model import Role
from packets.signatures.grant import Evidence, Figures, Grant

METHOD_WORDS = {
    "on-screen": "drawn on this screen",
    "signature-pad": "drawn on a signature pad",
    "remote": "drawn from elsewhere",
}
FIGURE_WORDS = {
    "total_income": "Total income",
    "agi": "Adjusted gross income",
    "total_tax": "Total tax",
    "withholding": "Federal income tax withheld",
    "refund": "Refund",
    "amount_owed": "Amount owed",
}


def consent_to(wanted: GrantRequest, engagement: EngagementFile, source: SourceDocument) -> str:
    """The sentence to which the signer is asked to agree."""
    return consent_sentence(
        _signer(wanted.role, engagement),
        wanted.role,
        source.file,
        source.pages,
        papers_in_words(wanted.covers),
        wanted.valid_until,
    )


def sheet_of(
    grant: Grant, engagement: EngagementFile, file: str, pages: ScreenPages, idle_minutes: int
) -> Sheet:
    """The page for a grant that is complete but for its ink."""
    digest = grant.document_sha256
    return Sheet(
        file=file,
        household=engagement.engagement.household,
        engagement=engagement.engagement.id,
        name=_signer(grant.role, engagement),
        role=ROLE_WORDS[grant.role],
        method=METHOD_WORDS[grant.how],
        until=said_day(grant.valid_until),
        covers=papers_in_words(grant.covers),
        consent=grant.consent,
        fingerprint=" ".join(digest[at : at + 4] for at in range(0, len(digest), 4)),
        figures=figures_in_words(grant.figures),
        identity=identity_in_words(grant.evidence, grant.identity_check),
        recorded_by=grant.recorded_by,
        idle_minutes=idle_minutes,
        pages=pages,
    )


def _signer(role: Role, engagement: EngagementFile) -> str:
    return next((who.name for who in engagement.person if who.role == role.value), "")


def figures_in_words(figures: Figures | None) -> tuple[tuple[str, str], ...]:
    """Name and amount of each figure that is bound, in the order of the form."""
    given = figures.model_dump(exclude_none=True) if figures else {}
    return tuple(
        (words, f"${given[key]:,}".replace("$-", "-$"))
        for key, words in FIGURE_WORDS.items()
        if key in given
    )


def identity_in_words(evidence: Evidence, words: str) -> tuple[str, ...]:
    """How the signer is known, as it goes on record."""
    told = [words] if words.strip() else []
    if evidence.photo_id_seen:
        told.append("a photo ID was looked at")
    if evidence.client_since is not None:
        told.append(f"client of this office since {evidence.client_since}")
    if evidence.verification:
        told.append(f"remote identity verification {evidence.verification}")
    return tuple(told) or ("not recorded",)
