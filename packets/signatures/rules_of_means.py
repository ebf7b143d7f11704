"""Rules about how a signature was given, and how its giver was known."""

from packets.recipe.model import Role
from packets.signatures.authority import AUTHORIZATIONS, OWN_HAND, any_matches
from packets.signatures.grant import FACSIMILES, IN_PERSON, REMOTE, Grant
from packets.signatures.rule import Asked, Rule

MOST_FAILED_QUIZZES = 2
"""After the third failed identity quiz a handwritten signature is needed (Pub. 1345)."""
LEAST_LEVEL = 2
"""Of NIST SP 800-63, for remote identity verification (Pub. 1345)."""
BY_HAND = "a handwritten signature is needed"


def _facsimile_of_another(grant: Grant, asked: Asked) -> str:  # noqa: ARG001 - asked like every rule
    if grant.how not in FACSIMILES or grant.role in (Role.ERO, Role.PREPARER):
        return ""
    return "is a stamp or facsimile, and only an ERO or a preparer may sign by one"


def _ero_facsimile_elsewhere(grant: Grant, asked: Asked) -> str:
    if grant.how not in FACSIMILES or grant.role is not Role.ERO:
        return ""
    covered = any_matches(AUTHORIZATIONS, asked.category)
    return "" if covered else "is a stamp, which an ERO may use on Forms 8878 and 8879 only"


def _preparer_facsimile_elsewhere(grant: Grant, asked: Asked) -> str:
    if grant.how not in FACSIMILES or grant.role is not Role.PREPARER:
        return ""
    if not any_matches(AUTHORIZATIONS, asked.category):
        return ""
    return "is a preparer's stamp, which is for returns and extensions, not for the ERO's forms"


def _quizzes_failed(grant: Grant, asked: Asked) -> str:  # noqa: ARG001 - asked like every rule
    if grant.how != REMOTE or grant.evidence.failed_quizzes <= MOST_FAILED_QUIZZES:
        return ""
    return f"follows {grant.evidence.failed_quizzes} failed identity quizzes: {BY_HAND}"


def _remote_without_evidence(grant: Grant, asked: Asked) -> str:  # noqa: ARG001 - asked like every rule
    if grant.how != REMOTE:
        return ""
    seen = grant.evidence
    level = seen.verification_level or 0
    lacking = [
        words
        for words, there in (
            ("a passed identity verification", seen.verification == "passed"),
            (f"its level, {LEAST_LEVEL} or higher", level >= LEAST_LEVEL),
            ("the number of attempts", seen.attempts is not None),
            ("the IP address", bool(seen.ip_address)),
            ("the login name", bool(seen.login_name.strip())),
        )
        if not there
    ]
    if not lacking:
        return ""
    return f"was given remotely without a record of {', '.join(lacking)}: {BY_HAND}"


def _stranger_in_person(grant: Grant, asked: Asked) -> str:
    if grant.how not in IN_PERSON or grant.role not in OWN_HAND:
        return ""
    if not any_matches(AUTHORIZATIONS, asked.category):
        return ""
    seen = grant.evidence
    before = seen.client_since is not None and seen.client_since < asked.tax_year
    if seen.photo_id_seen or before or grant.identity_check.strip():
        return ""
    return "records neither a photo ID that was seen nor a client of several years"


RULES = (
    Rule("own hand", "Notices 2007-79 and 2004-54", _facsimile_of_another),
    Rule("ERO's facsimile", "Notice 2007-79", _ero_facsimile_elsewhere),
    Rule("preparer's facsimile", "Notice 2004-54", _preparer_facsimile_elsewhere),
    Rule("three failed quizzes", "Pub. 1345; IRS e-signature FAQ", _quizzes_failed),
    Rule(
        "remote evidence",
        "Pub. 1345; IRS Electronic Signature Guidance for Forms 8878 and 8879",
        _remote_without_evidence,
    ),
    Rule(
        "identity in person",
        "IRS Electronic Signature Guidance for Forms 8878 and 8879",
        _stranger_in_person,
    ),
)
