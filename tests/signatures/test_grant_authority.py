"""When a grant allows a signature, and in which words it does not."""

import datetime as dt
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from signing_samples import FIGURES, TODAY, grant_book, grant_text

from packets.recipe.model import Role
from packets.signatures.authority import name_matches
from packets.signatures.grant import Grant
from packets.signatures.rule import Asked


def asked(
    folder: Path,
    *grants: str,
    role: Role = Role.TAXPAYER,
    category: str = "form-8879",
    today: dt.date = TODAY,
    document_sha256: str = "",
) -> str:
    """The identity of the grant that allows it, or the reason why none does."""
    book = grant_book(folder, *grants)
    found = book.answer(
        Asked(role, category, 2025, today, document_sha256, figures=lambda: FIGURES)
    )
    return found.id if isinstance(found, Grant) else found.why


def test_a_grant_allows_its_role_category_and_day(tmp_path: Path) -> None:
    assert asked(tmp_path) == "2026-taxpayer-1"


def test_another_role_has_no_grant(tmp_path: Path) -> None:
    assert "no grant of the spouse is recorded" in asked(tmp_path, role=Role.SPOUSE)


def test_another_category_is_not_covered(tmp_path: Path) -> None:
    assert "does not cover form-2848" in asked(tmp_path, category="form-2848")


def test_a_star_covers_what_begins_so(tmp_path: Path) -> None:
    assert asked(tmp_path, category="consent-disclosure") == "2026-taxpayer-1"


@pytest.mark.parametrize("category", ["bank-product", "refund-transfer", "consent-bank-x"])
def test_a_star_never_covers_a_bank_product(tmp_path: Path, category: str) -> None:
    why = asked(tmp_path, grant_text(covers='["*", "consent-*"]'), category=category)
    assert "must be named in full" in why


def test_a_bank_product_is_covered_by_its_own_name(tmp_path: Path) -> None:
    only = grant_text(covers='["bank-product"]')
    assert asked(tmp_path, only, category="bank-product") == "2026-taxpayer-1"


@pytest.mark.parametrize(
    ("today", "allowed"),
    [
        (dt.date(2026, 3, 1), False),
        (dt.date(2026, 3, 3), True),
        (dt.date(2026, 10, 15), True),
        (dt.date(2026, 10, 16), False),
    ],
)
def test_a_grant_holds_from_its_day_to_its_last(
    tmp_path: Path, today: dt.date, allowed: bool
) -> None:
    assert (asked(tmp_path, today=today) == "2026-taxpayer-1") is allowed


def test_a_client_abroad_may_sign_on_the_offices_yesterday(tmp_path: Path) -> None:
    abroad = grant_text(given_at="2026-03-06T08:00:00+09:00")
    assert asked(tmp_path, abroad, today=dt.date(2026, 3, 5)) == "2026-taxpayer-1"


def test_last_years_signature_is_not_this_years(tmp_path: Path) -> None:
    old = grant_text(given_at="2024-03-03T10:15:00-05:00")
    assert "before tax year 2025 began" in asked(tmp_path, old)


def test_a_return_cannot_be_declared_before_its_year_is_over(tmp_path: Path) -> None:
    early = grant_text(given_at="2025-11-03T10:15:00-05:00")
    assert "before a return for 2025 could be seen" in asked(tmp_path, early)
    assert asked(tmp_path, early, category="consent-use") == "2026-taxpayer-1"


@pytest.mark.parametrize("role", [Role.TAXPAYER, Role.SPOUSE, Role.OTHER])
def test_only_an_ero_or_preparer_signs_by_stamp(tmp_path: Path, role: Role) -> None:
    stamp = grant_text(how='"stamp"', role=f'"{role.value}"')
    assert "only an ERO or a preparer" in asked(tmp_path, stamp, role=role)


def test_an_ero_stamps_authorizations_only(tmp_path: Path) -> None:
    stamp = grant_text(how='"stamp"', role='"ero"')
    assert asked(tmp_path, stamp, role=Role.ERO) == "2026-taxpayer-1"
    why = asked(tmp_path, stamp, role=Role.ERO, category="form-1040")
    assert "Forms 8878 and 8879 only" in why


def test_a_preparer_stamps_a_return(tmp_path: Path) -> None:
    stamp = grant_text(how='"stamp"', role='"preparer"')
    assert asked(tmp_path, stamp, role=Role.PREPARER, category="form-1040") == "2026-taxpayer-1"


def test_a_grant_bound_to_a_file_serves_no_other_version(tmp_path: Path) -> None:
    bound = grant_text("", document_sha256=f'"{"a" * 64}"')
    assert asked(tmp_path, bound, document_sha256="a" * 64) == "2026-taxpayer-1"
    assert "another version" in asked(tmp_path, bound, document_sha256="b" * 64)


def test_of_several_grants_the_latest_counts(tmp_path: Path) -> None:
    later = grant_text(id='"later"', given_at="2026-03-04T10:15:00-05:00")
    assert asked(tmp_path, later, grant_text()) == "later"


def test_every_reason_is_told(tmp_path: Path) -> None:
    why = asked(
        tmp_path,
        grant_text(id='"one"', valid_until="2026-03-04"),
        grant_text(id='"two"', covers='["form-2848"]'),
    )
    assert "grant one ended on 2026-03-04" in why
    assert "grant two does not cover" in why


@given(st.text("ab*", max_size=8), st.text("ab", max_size=8))
def test_a_star_stands_for_any_run(pattern: str, name: str) -> None:
    import re

    expression = ".*".join(re.escape(piece) for piece in pattern.split("*"))
    assert name_matches(pattern, name) == bool(re.fullmatch(expression, name))
