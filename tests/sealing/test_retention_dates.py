"""Worked dates of the retention rules, each from its source.

A to D: IRC 6107(b) and 6060(c), 26 CFR 1.6107-1(b). E and F: IRS Pub. 1345 on
Forms 8879 and 8878. G: the day that a year does not have.
"""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packets.sealing.retention import retention_lines, return_period_end, years_after

DAYS = st.dates(dt.date(1990, 1, 1), dt.date(2100, 12, 31))
OPTIONAL_DAYS = st.none() | DAYS
COPY, SIGNATURES, DILIGENCE, PAPERS = (
    "completed copy",
    "Forms 8879",
    "Form 8867",
    "income statements",
)


def day(text: str) -> dt.date:
    return dt.date.fromisoformat(text)


def kept_until(rule: str, **days: str) -> dt.date:
    lines = retention_lines(**{name: day(text) for name, text in days.items()})
    found = [line.keep_until for line in lines if line.rule.startswith(rule)]
    assert len(found) == 1
    return found[0]


@pytest.mark.parametrize(
    ("days", "until"),
    [
        ({"presented_on": "2026-03-03", "due_on": "2026-04-15"}, "2029-06-30"),
        ({"presented_on": "2026-09-20", "due_on": "2026-10-15"}, "2030-06-30"),
        (
            {
                "presented_on": "2026-06-25",
                "due_on": "2026-04-15",
                "extended_due_on": "2026-10-15",
            },
            "2030-06-30",
        ),
        ({"presented_on": "2026-06-30", "due_on": "2026-04-15"}, "2029-06-30"),
        ({"presented_on": "2026-07-01", "due_on": "2026-04-15"}, "2030-06-30"),
    ],
    ids=["A", "B", "C", "D last day", "D first day"],
)
def test_the_completed_copy_is_kept_three_years_after_its_return_period(
    days: dict[str, str], until: str
) -> None:
    assert kept_until(COPY, **days) == day(until)


@pytest.mark.parametrize(
    ("days", "until"),
    [
        ({"due_on": "2026-04-15", "received_on": "2026-02-10"}, "2029-04-15"),
        ({"due_on": "2026-04-15", "received_on": "2026-10-09"}, "2029-10-09"),
        (
            {
                "due_on": "2026-04-15",
                "extended_due_on": "2026-10-15",
                "received_on": "2026-10-09",
            },
            "2029-10-15",
        ),
    ],
    ids=["E", "F on the original due date", "F on the extended due date, the later"],
)
def test_signature_forms_are_kept_three_years_from_the_later_date(
    days: dict[str, str], until: str
) -> None:
    assert kept_until(SIGNATURES, **days) == day(until)


def test_a_day_that_the_year_does_not_have_becomes_the_first_of_march() -> None:
    assert years_after(day("2028-02-29"), 3) == day("2031-03-01")  # G
    assert kept_until(SIGNATURES, due_on="2028-02-29") == day("2031-03-01")
    assert years_after(day("2028-02-29"), 4) == day("2032-02-29")


@pytest.mark.parametrize(
    ("days", "until"),
    [
        (
            {"due_on": "2026-04-15", "received_on": "2026-02-10", "presented_on": "2026-02-08"},
            "2029-04-15",
        ),
        (
            {"due_on": "2026-04-15", "received_on": "2026-10-09", "presented_on": "2026-10-11"},
            "2029-10-11",
        ),
    ],
)
def test_due_diligence_records_are_kept_three_years_from_the_latest_date(
    days: dict[str, str], until: str
) -> None:
    """26 CFR 1.6695-2(b)(4)."""
    assert kept_until(DILIGENCE, **days) == day(until)


def test_efile_papers_are_kept_to_the_end_of_the_filing_year() -> None:
    """IRS Pub. 1345."""
    assert kept_until(PAPERS, due_on="2026-04-15", received_on="2027-01-05") == day("2027-12-31")
    assert kept_until(PAPERS, due_on="2026-04-15") == day("2026-12-31")


def test_a_rule_without_its_dates_is_left_out() -> None:
    assert retention_lines() == ()
    only_due = retention_lines(due_on=day("2026-04-15"))
    assert not [line for line in only_due if line.rule.startswith(COPY)]


@given(OPTIONAL_DAYS, OPTIONAL_DAYS, OPTIONAL_DAYS, OPTIONAL_DAYS)
def test_every_date_is_at_least_three_years_away_and_names_its_source(
    presented: dt.date | None,
    due: dt.date | None,
    extended: dt.date | None,
    received: dt.date | None,
) -> None:
    lines = retention_lines(
        presented_on=presented, due_on=due, extended_due_on=extended, received_on=received
    )
    given_days = [each for each in (presented, due, extended, received) if each is not None]
    assert bool(lines) is bool(given_days)
    for line in lines:
        assert line.source
        if not line.rule.startswith(PAPERS):
            assert line.keep_until.year >= min(given_days).year + 3


@given(DAYS)
def test_a_return_period_ends_on_the_next_30_june(start: dt.date) -> None:
    close = return_period_end(start)
    assert (close.month, close.day) == (6, 30)
    assert 0 <= (close - start).days <= 365
