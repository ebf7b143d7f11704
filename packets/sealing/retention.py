"""Until when the office keeps what: dates from the engagement, each with its source.

The preparer's own copy (or list) is governed by IRC 6107(b) and 26 CFR 1.6107-1(b);
signature forms by Pub. 1345; the due diligence checklist by 26 CFR 1.6695-2(b)(4).
Where two readings of a date are possible, the later date is given. State rules differ
and are not in here. Not legal advice.
"""

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass

from packets.sealing.records import RetentionLine

YEARS = 3


def years_after(day: dt.date, years: int) -> dt.date:
    """The same day `years` later; 29 February becomes 1 March where that year has none."""
    try:
        return day.replace(year=day.year + years)
    except ValueError:
        return dt.date(day.year + years, 3, 1)


def return_period_end(day: dt.date) -> dt.date:
    """The 30 June that closes the return period holding `day` (IRC 6060(c): from 1 July)."""
    close = dt.date(day.year, 6, 30)
    return close if day <= close else dt.date(day.year + 1, 6, 30)


@dataclass(frozen=True)
class RetentionDays:
    """The dates that the rules count from, as engagement.toml gives them."""

    presented_on: dt.date | None = None
    """The return was presented to the client for signature."""
    due_on: dt.date | None = None
    """Due date without extension."""
    extended_due_on: dt.date | None = None
    """Due date with extension, where there is one."""
    received_on: dt.date | None = None
    """Accepted, or received, by the tax agency."""

    @property
    def due(self) -> dt.date | None:
        """The later of the two due dates."""
        return _latest(self.due_on, self.extended_due_on)


@dataclass(frozen=True)
class RetentionRule:
    """One rule: what is kept, until when, by which source."""

    rule: str
    source: str
    needs: tuple[str, ...]
    """Keys of engagement.toml without which the date may turn out later than it looks."""
    until: Callable[[RetentionDays], dt.date | None]
    """Last day on which it must be kept, by what is known; None where nothing is."""

    def missing(self, days: RetentionDays) -> tuple[str, ...]:
        """The keys that it needs and that are not there."""
        known = {
            "presented_on": days.presented_on,
            "due_on": days.due,
            "received_on": days.received_on,
        }
        return tuple(key for key in self.needs if known[key] is None)


def _latest(*days: dt.date | None) -> dt.date | None:
    return max((day for day in days if day is not None), default=None)


def _completed_copy(days: RetentionDays) -> dt.date | None:
    """From the return period of presentation, or the later one in which the return fell due."""
    if days.presented_on is None:
        return None
    latest = max(days.presented_on, days.due) if days.due else days.presented_on
    return years_after(return_period_end(latest), YEARS)


def _signature_forms(days: RetentionDays) -> dt.date | None:
    start = _latest(days.due, days.received_on)
    return years_after(start, YEARS) if start else None


def _due_diligence(days: RetentionDays) -> dt.date | None:
    """The due date without extension, as the rule says.

    Without the day the papers reached a signing preparer: one office does both here.
    """
    start = _latest(days.due_on or days.extended_due_on, days.received_on, days.presented_on)
    return years_after(start, YEARS) if start else None


def _efile_papers(days: RetentionDays) -> dt.date | None:
    filed = days.received_on or days.due
    return dt.date(filed.year, 12, 31) if filed else None


RULES = (
    RetentionRule(
        "completed copy or list: three years after the close of the return period",
        "IRC 6107(b), 6060(c); 26 CFR 1.6107-1(b)",
        ("presented_on", "due_on"),
        _completed_copy,
    ),
    RetentionRule(
        "Forms 8879 and 8878: three years from the due date or the date received, if later",
        "IRS Pub. 1345",
        ("due_on", "received_on"),
        _signature_forms,
    ),
    RetentionRule(
        "Form 8867 and its records, where it applies: three years from the latest date",
        "26 CFR 1.6695-2(b)(4)",
        ("due_on", "received_on", "presented_on"),
        _due_diligence,
    ),
    RetentionRule(
        "income statements, disclosure consents, acknowledgements: to the filing year's end",
        "IRS Pub. 1345",
        ("received_on",),
        _efile_papers,
    ),
)
"""In the order in which manifest and screen show them."""


def retention_lines(
    *,
    presented_on: dt.date | None = None,
    due_on: dt.date | None = None,
    extended_due_on: dt.date | None = None,
    received_on: dt.date | None = None,
) -> tuple[RetentionLine, ...]:
    """Every rule whose dates are known, in a fixed order; a rule without its dates is left out.

    While `received_on` is unknown, the dates rest on what is known so far.
    """
    days = RetentionDays(presented_on, due_on, extended_due_on, received_on)
    dated = ((rule, rule.until(days)) for rule in RULES)
    return tuple(RetentionLine(rule.rule, until, rule.source) for rule, until in dated if until)
