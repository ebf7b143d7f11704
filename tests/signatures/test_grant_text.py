"""Grants written into a file that a person keeps: what stands there stays."""

import datetime as dt
import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from signing_samples import FIGURES

from packets.base.errors import UsageError
from packets.recipe.loader import load_bytes
from packets.recipe.model import Role
from packets.signatures.grant import Evidence, Figures, Grant, GrantsFile
from packets.signatures.grant_text import grant_text, with_grant, with_withdrawal

AT = dt.datetime(2026, 3, 3, 10, 15, tzinfo=dt.timezone(dt.timedelta(hours=-5)))
HAND = """# Ours. Don't touch.
[[grant]] # the first
  id = 'by-hand'   # odd spacing
role = "taxpayer"
image = "t.png"
given_at = 2026-03-03 10:15:00-05:00
how = "signature-pad"
covers = [
  "form-8879", # the form
]
valid_until = 2026-10-15
recorded_by = "desk"
[grant.figures]
agi = 60_000
total_tax = 5_000
withholding = 6_000
refund = 1_000
amount_owed = 0
# the end"""

WORDS = st.text(st.characters(exclude_categories=["Cs", "Nd"]), max_size=30)


def a_grant(**changes: Any) -> Grant:
    keys: dict[str, Any] = {
        "id": "new-1",
        "role": Role.SPOUSE,
        "image": "new-1.png",
        "given_at": AT,
        "how": "remote",
        "covers": ("form-8879", "consent-*"),
        "valid_until": dt.date(2026, 10, 15),
        "recorded_by": "desk",
        "figures": Figures(**FIGURES),
        "evidence": Evidence(verification="passed", attempts=1, ip_address="2001:db8::7"),
    }
    return Grant(**{**keys, **changes})


def grants_in(text: str) -> tuple[Grant, ...]:
    return load_bytes(text.encode(), "grants.toml", GrantsFile).grant


@given(WORDS, WORDS, st.integers(-720, 720))
def test_what_is_written_is_what_is_read(check: str, login: str, offset: int) -> None:
    moment = AT.astimezone(dt.timezone(dt.timedelta(minutes=offset)))
    grant = a_grant(identity_check=check, evidence=Evidence(login_name=login), given_at=moment)
    (read,) = grants_in(grant_text(grant))
    assert read == grant
    assert read.given_at.utcoffset() == dt.timedelta(minutes=offset)


@pytest.mark.parametrize("ending", ["\n", "\r\n"])
@pytest.mark.parametrize("last", ["", "\n", "\n\n"])
def test_a_grant_goes_behind_what_is_there(ending: str, last: str) -> None:
    before = (HAND + last).replace("\n", ending)
    after = with_grant(before, a_grant())
    assert after.startswith(before)
    assert grants_in(after) == (*grants_in(before), a_grant())
    assert after.count("\n") == after.count(ending)


def test_the_first_grant_goes_into_an_empty_file_or_one_of_comments() -> None:
    assert grants_in(with_grant("", a_grant())) == (a_grant(),)
    template = Path(__file__).parents[2] / "packets" / "cli" / "templates" / "grants.toml"
    assert grants_in(with_grant(template.read_text(), a_grant())) == (a_grant(),)


@pytest.mark.parametrize("ending", ["\n", "\r\n"])
@pytest.mark.parametrize("index", [0, 1])
def test_a_withdrawal_adds_two_lines_and_takes_none(ending: str, index: int) -> None:
    before = with_grant(HAND, a_grant()).replace("\n", ending)
    after = with_withdrawal(before, index, AT, 'said "no"')
    gone = grants_in(after)[index]
    assert (gone.withdrawn_at, gone.withdrawn_why) == (AT, 'said "no"')
    assert grants_in(after)[1 - index] == grants_in(before)[1 - index]
    left = [line for line in after.split("\n") if not line.startswith("withdrawn_")]
    assert left == before.split("\n")
    assert len(after.split("\n")) == len(left) + 2


def test_a_grant_without_a_heading_of_its_own_is_left_to_a_person() -> None:
    inline = "grant = [{ id = 'x' }]\n"
    assert tomllib.loads(inline)
    with pytest.raises(UsageError, match="heading of its own"):
        with_withdrawal(inline, 0, AT, "why")
