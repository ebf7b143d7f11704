"""Lines, consents and electronic signatures, from what the stations reported."""

import datetime as dt
from pathlib import Path
from typing import Any

import pytest

from packets.handover.already_signed import without_broken_signatures
from packets.handover.holds import consent_holds
from packets.handover.prepared import Prepared, PreparedDocument
from packets.handover.signature_lines import missing_signatures, role_lines, signature_holds
from packets.intake.engagement import Engagement, EngagementFile, Person
from packets.intake.records import Inventory, SignatureVerdict, SourceDocument, SourceSignature
from packets.recipe.model import Role
from packets.selection.records import PagePlan, PlannedDocument, PlannedPage, PlannedPart
from packets.signatures.grant import Grant
from packets.signatures.grants import GrantBook
from packets.signatures.records import AlreadySigned, MissingSignature, RoleLines, SignedDocument

TODAY = dt.date(2026, 3, 5)
OPEN = SignedDocument(
    b"",
    (),
    (
        MissingSignature("taxpayer", 0, 1, "t", "no grant"),
        MissingSignature("taxpayer", 0, 1, "t_date", "too small", is_date=True),
        MissingSignature("spouse", 0, 1, "s", "no grant"),
        MissingSignature("taxpayer", 0, 2, "elsewhere", "no grant"),
    ),
    (AlreadySigned("taxpayer", 0, 1, "t2"),),
)


def inventory(*roles: str, **source: Any) -> Inventory:
    document = SourceDocument("documents/a.pdf", "a" * 64, b"", 2, "application/pdf", **source)
    head = Engagement(id="x", tax_year=2025, household="y")
    persons = tuple(Person.model_validate({"role": role, "name": "z"}) for role in roles)
    return Inventory(Path(), EngagementFile(engagement=head, person=persons), (document,), ())


def prepared(signed: SignedDocument) -> Prepared:
    unread: Any = None  # nothing here looks at the survey
    return Prepared((PreparedDocument(0, signed, b"", (), unread),), ())


def plan(*signed_by: str) -> PagePlan:
    page = PlannedPage(0, 1, "form-8879", "taken")
    part = PlannedPart("Forms", (PlannedDocument("Form", "form-8879", (page,)),), signed_by)
    return PagePlan((part,), ())


def test_lines_are_counted_by_role_on_the_pages_that_go_in() -> None:
    counted = role_lines(inventory("taxpayer", "spouse"), prepared(OPEN), plan())
    assert counted == (RoleLines("taxpayer", 2, 1), RoleLines("spouse", 1, 0))


def test_a_line_of_a_role_that_nobody_has_is_counted_and_not_demanded() -> None:
    alone = inventory("taxpayer")
    assert role_lines(alone, prepared(OPEN), plan())[1] == RoleLines("spouse", 1, 0, nobody=True)
    missing = missing_signatures(alone, prepared(OPEN), plan("taxpayer", "spouse"))
    assert {line.role for line, _ in missing} == {"taxpayer"}


def test_a_demanded_line_or_date_holds_and_says_which_it_is() -> None:
    both = inventory("taxpayer", "spouse")
    held = list(signature_holds(both, missing_signatures(both, prepared(OPEN), plan("taxpayer"))))
    assert held == [
        "documents/a.pdf page 1: the taxpayer's signature is missing: no grant",
        "documents/a.pdf page 1: the date beside the taxpayer's signature is missing: too small",
    ]


@pytest.mark.parametrize("verdict", list(SignatureVerdict))
def test_an_electronic_signature_that_does_not_hold_answers_nothing(
    verdict: SignatureVerdict,
) -> None:
    found = SourceSignature("t2", "Ana", "", verdict, "")
    source = inventory("taxpayer", signatures=(found,)).documents[0]
    kept = without_broken_signatures(OPEN, source)
    broken = verdict is SignatureVerdict.NOT_VALID
    assert bool(kept.already) is not broken
    assert any("does not hold" in line.why for line in kept.missing) is broken


INK: dict[str, Any] = {
    "id": "ink",
    "role": Role.TAXPAYER,
    "image": "t.png",
    "given_at": dt.datetime(2026, 3, 1, tzinfo=dt.UTC),
    "how": "wet-ink-scan",
    "covers": ("consent-*",),
    "valid_until": dt.date(2026, 12, 31),
    "recorded_by": "desk",
}


@pytest.mark.parametrize(
    ("changes", "signed"),
    [
        ({}, True),
        ({"document_sha256": "a" * 64}, True),
        ({"document_sha256": "b" * 64}, False),
        ({"valid_until": dt.date(2026, 3, 4)}, False),
        ({"how": "on-screen"}, False),
        ({"covers": ("form-8879",)}, False),
        (
            {"withdrawn_at": dt.datetime(2026, 3, 2, tzinfo=dt.UTC), "withdrawn_why": "asked"},
            False,
        ),
    ],
)
def test_a_consent_in_ink_counts_while_its_grant_keeps_every_rule(
    changes: dict[str, Any], signed: bool
) -> None:
    book = GrantBook((Grant(**{**INK, **changes}),))
    wanted = PagePlan((), (), needs_consent=True, consent_pages=((0, 1),))
    nothing = prepared(SignedDocument(b"", (), ()))
    held = list(consent_holds(wanted, inventory("taxpayer"), nothing, book, TODAY))
    assert (held == []) is signed
