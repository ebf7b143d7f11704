"""Each rule that is asked before an image is placed: what it refuses, and whom it cites."""

import datetime as dt
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from signing_samples import FIGURES

from packets.recipe.model import Role
from packets.signatures.grant import Evidence, Figures, Grant
from packets.signatures.rule import Asked, Refusal
from packets.signatures.rules import RULES, refusal

GIVEN = dt.datetime(2026, 3, 3, 10, 15, tzinfo=dt.timezone(dt.timedelta(hours=-5)))
TODAY = dt.date(2026, 3, 5)
REMOTE: dict[str, Any] = {
    "verification": "passed",
    "verification_level": 2,
    "attempts": 1,
    "ip_address": "203.0.113.7",
    "login_name": "ana",
}
SOURCES = {
    "withdrawn": "IRM 10.10.1",
    "signer of the line": "Pub. 1345",
    "papers covered": "IRM 10.10.1",
    "bank product named": "26 CFR 301.7216-3",
    "days of the grant": "IRM 10.10.1",
    "return seen before signing": "Form 8879, Part II",
    "own hand": "Notices 2007-79 and 2004-54",
    "ERO's facsimile": "Notice 2007-79",
    "preparer's facsimile": "Notice 2004-54",
    "three failed quizzes": "Pub. 1345",
    "remote evidence": "Pub. 1345",
    "identity in person": "IRS Electronic Signature Guidance",
    "bound to what was signed": "Pub. 1345",
    "the very document": "Pub. 1345",
    "figures unchanged": "Pub. 1345",
}


def a_grant(**changes: Any) -> Grant:
    keys: dict[str, Any] = {
        "id": "g",
        "role": Role.TAXPAYER,
        "image": "taxpayer.png",
        "given_at": GIVEN,
        "how": "signature-pad",
        "covers": ("form-8879", "consent-*"),
        "valid_until": dt.date(2026, 10, 15),
        "identity_check": "photo ID seen",
        "recorded_by": "front desk",
        "figures": Figures(**FIGURES),
    }
    return Grant(**{**keys, **changes})


def no(grant: Grant, shows: dict[str, int] | None = None, **changes: Any) -> Refusal | None:
    shown = FIGURES if shows is None else shows
    line: dict[str, Any] = {
        "role": Role.TAXPAYER,
        "category": "form-8879",
        "tax_year": 2025,
        "today": TODAY,
        "figures": lambda: shown,
    }
    return refusal(grant, Asked(**{**line, **changes}))


def rule_of(found: Refusal | None) -> str:
    return found.rule if found else ""


def test_every_rule_names_the_clause_it_comes_from() -> None:
    assert {rule.name for rule in RULES} == SOURCES.keys()
    for rule in RULES:
        assert SOURCES[rule.name] in rule.source


def test_a_refusal_names_grant_rule_and_source() -> None:
    assert str(no(a_grant(), category="form-2848")) == (
        "grant g does not cover form-2848 [papers covered: IRM 10.10.1, intent to sign this record]"
    )


def test_a_sound_grant_breaks_no_rule() -> None:
    assert no(a_grant()) is None
    assert no(a_grant(figures=None), category="consent-use") is None


STRANGER = {"identity_check": "", "evidence": Evidence()}
REFUSED = [
    ("withdrawn", {"withdrawn_at": GIVEN + dt.timedelta(days=1), "withdrawn_why": "asked"}, {}),
    ("signer of the line", {}, {"role": Role.SPOUSE}),
    ("papers covered", {}, {"category": "form-8878"}),
    ("bank product named", {"covers": ("*",)}, {"category": "bank-product"}),
    ("bank product named", {"covers": ("refund-*",)}, {"category": "refund-transfer"}),
    ("bank product named", {"covers": ("bank-product*",)}, {"category": "bank-product"}),
    ("days of the grant", {}, {"today": dt.date(2026, 3, 1)}),
    ("days of the grant", {}, {"today": dt.date(2026, 10, 16)}),
    ("return seen before signing", {"given_at": GIVEN.replace(year=2024)}, {}),
    ("return seen before signing", {"given_at": GIVEN.replace(year=2025)}, {}),
    ("own hand", {"how": "stamp"}, {}),
    ("own hand", {"how": "computer-software"}, {}),
    ("three failed quizzes", {"how": "remote", "evidence": Evidence(attempts=3)}, {}),
    ("remote evidence", {"how": "remote"}, {}),
    ("remote evidence", {"how": "remote", "figures": None}, {"category": "consent-use"}),
    ("identity in person", STRANGER, {}),
    ("identity in person", {**STRANGER, "how": "on-screen"}, {}),
    ("identity in person", {**STRANGER, "evidence": Evidence(client_since=2025)}, {}),
    ("bound to what was signed", {"figures": None}, {}),
    ("bound to what was signed", {"figures": None, "covers": ("*",)}, {"category": "form-8878"}),
    ("the very document", {"figures": None, "document_sha256": "a" * 64}, {}),
    ("the very document", {"document_sha256": "a" * 64}, {"category": "consent-use"}),
    ("figures unchanged", {}, {"figures": lambda: None}),
    ("figures unchanged", {"document_sha256": "a" * 64}, {"figures": lambda: None}),
]


@pytest.mark.parametrize(("rule", "changes", "line"), REFUSED)
def test_a_broken_rule_refuses_by_its_name(
    rule: str, changes: dict[str, Any], line: dict[str, Any]
) -> None:
    assert rule_of(no(a_grant(**changes), **line)) == rule


@pytest.mark.parametrize("how", ["stamp", "rubber-stamp", "mechanical-device", "computer-software"])
def test_an_ero_and_a_preparer_sign_by_the_means_of_their_notices(how: str) -> None:
    ero = a_grant(role=Role.ERO, how=how, covers=("*",), figures=None)
    preparer = a_grant(role=Role.PREPARER, how=how, covers=("*",), figures=None)
    assert no(ero, role=Role.ERO) is None
    assert no(preparer, role=Role.PREPARER, category="form-1040") is None
    assert no(preparer, role=Role.PREPARER, category="form-4868") is None
    assert rule_of(no(ero, role=Role.ERO, category="form-1040")) == "ERO's facsimile"
    assert rule_of(no(preparer, role=Role.PREPARER)) == "preparer's facsimile"


def test_a_bank_product_is_signed_by_the_grant_that_names_it() -> None:
    own = a_grant(covers=("bank-product",), figures=None)
    assert no(own, category="bank-product") is None


def test_a_remote_signature_with_its_whole_record_holds() -> None:
    assert no(a_grant(how="remote", evidence=Evidence(**REMOTE))) is None


@pytest.mark.parametrize(
    ("key", "value", "words"),
    [
        ("verification", "failed", "a passed identity verification"),
        ("verification_level", 1, "its level"),
        ("verification_level", None, "its level"),
        ("attempts", None, "the number of attempts"),
        ("ip_address", "", "the IP address"),
        ("login_name", " ", "the login name"),
    ],
)
def test_a_remote_signature_lacking_one_thing_is_to_be_given_by_hand(
    key: str, value: Any, words: str
) -> None:
    found = no(a_grant(how="remote", evidence=Evidence(**{**REMOTE, key: value})))
    assert rule_of(found) == "remote evidence"
    assert words in str(found)
    assert "handwritten" in str(found)


@pytest.mark.parametrize(("attempts", "refused"), [(1, False), (3, False), (4, True)])
def test_the_third_failed_quiz_ends_the_remote_way(attempts: int, refused: bool) -> None:
    evidence = Evidence(**{**REMOTE, "attempts": attempts})
    assert (rule_of(no(a_grant(how="remote", evidence=evidence))) != "") is refused


def test_ink_on_paper_sent_back_is_no_remote_signature() -> None:
    ink = a_grant(how="wet-ink-scan", **STRANGER)
    assert no(ink) is None


@pytest.mark.parametrize("evidence", [{"photo_id_seen": True}, {"client_since": 2024}])
def test_in_person_a_photo_id_or_years_as_a_client_will_do(evidence: dict[str, Any]) -> None:
    assert no(a_grant(identity_check="", evidence=Evidence(**evidence))) is None


def test_the_very_document_needs_no_figures() -> None:
    bound = a_grant(figures=None, document_sha256="a" * 64)
    assert no(bound, document_sha256="a" * 64, figures=lambda: None) is None


def test_a_changed_file_may_still_show_the_signed_figures() -> None:
    assert no(a_grant(document_sha256="a" * 64), document_sha256="b" * 64) is None


LIMITS = {"agi": 50, "total_tax": 14, "withholding": 14, "refund": 14, "amount_owed": 14}


@given(
    st.sampled_from(sorted(LIMITS)),
    st.integers(min_value=-200, max_value=200),
    st.integers(min_value=200, max_value=10**9),
)
def test_a_figure_may_move_by_its_limit_and_no_dollar_more(key: str, by: int, amount: int) -> None:
    """Publication 1345: $50 for total income or AGI, $14 for the four others."""
    signed = {**FIGURES, key: amount}
    found = no(a_grant(figures=Figures(**signed)), {**signed, key: amount + by})
    assert (found is None) is (abs(by) <= LIMITS[key])
    assert rule_of(found) in ("", "figures unchanged")


@given(st.integers(-(10**6), 10**6), st.integers(-200, 200))
def test_total_income_stands_in_for_agi(income: int, by: int) -> None:
    signed = {key: amount for key, amount in FIGURES.items() if key != "agi"}
    grant = a_grant(figures=Figures(total_income=income, **signed))
    found = no(grant, {**signed, "total_income": income + by})
    assert (found is None) is (abs(by) <= 50)
    assert rule_of(no(grant, FIGURES)) == "figures unchanged"


def test_a_refusal_shows_no_amount() -> None:
    words = str(no(a_grant(), {**FIGURES, "refund": 1_999}))
    assert "refund moved by more than $14" in words
    assert "1999" not in words
    assert "1000" not in words


@given(st.dates(dt.date(2026, 2, 1), dt.date(2026, 12, 31)), st.integers(0, 200))
def test_a_grant_holds_on_its_days_and_on_no_other(today: dt.date, days: int) -> None:
    until = GIVEN.date() + dt.timedelta(days=days)
    holds = no(a_grant(valid_until=until), today=today) is None
    assert holds is (GIVEN.date() <= today <= until)
