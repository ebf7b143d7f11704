"""Until when the office keeps what: dates from the engagement, each with its source.

The preparer's own copy (or list) is governed by IRC 6107(b) and 26 CFR 1.6107-1(b);
signature forms by Pub. 1345; the due diligence checklist by 26 CFR 1.6695-2(b)(4).
Where two readings of a date are possible, the later date is given. Not legal advice.
"""

import datetime as dt

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


def retention_lines(
    *,
    presented_on: dt.date | None = None,
    due_on: dt.date | None = None,
    extended_due_on: dt.date | None = None,
    received_on: dt.date | None = None,
) -> tuple[RetentionLine, ...]:
    """Every rule whose dates are known, in a fixed order; a rule without its dates is left out.

    `presented_on`: the day the return was presented for signature. `due_on`: due
    date without extension; `extended_due_on` with it. `received_on`: accepted by
    the tax agency; while it is unknown, the dates rest on what is known so far.
    """
    due = _latest(due_on, extended_due_on)
    lines = (
        _completed_copy(presented_on, due),
        _signature_forms(due, received_on),
        _due_diligence(due_on or extended_due_on, received_on, presented_on),
        _efile_papers(due, received_on),
    )
    return tuple(line for line in lines if line is not None)


def _latest(*days: dt.date | None) -> dt.date | None:
    return max((day for day in days if day is not None), default=None)


def _completed_copy(presented: dt.date | None, due: dt.date | None) -> RetentionLine | None:
    """From the return period of presentation, or the later one in which the return fell due."""
    if presented is None:
        return None
    close = return_period_end(max(presented, due) if due else presented)
    return RetentionLine(
        rule="completed copy or list: three years after the close of the return period",
        keep_until=years_after(close, YEARS),
        source="IRC 6107(b), 6060(c); 26 CFR 1.6107-1(b)",
    )


def _signature_forms(due: dt.date | None, received: dt.date | None) -> RetentionLine | None:
    start = _latest(due, received)
    if start is None:
        return None
    return RetentionLine(
        rule="Forms 8879 and 8878: three years from the due date or the date received, if later",
        keep_until=years_after(start, YEARS),
        source="IRS Pub. 1345",
    )


def _due_diligence(
    due: dt.date | None, received: dt.date | None, presented: dt.date | None
) -> RetentionLine | None:
    """Without the day the papers reached a signing preparer: one office does both here."""
    start = _latest(due, received, presented)
    if start is None:
        return None
    return RetentionLine(
        rule="Form 8867 and its records, where it applies: three years from the latest date",
        keep_until=years_after(start, YEARS),
        source="26 CFR 1.6695-2(b)(4)",
    )


def _efile_papers(due: dt.date | None, received: dt.date | None) -> RetentionLine | None:
    filed = received or due
    if filed is None:
        return None
    return RetentionLine(
        rule="income statements, disclosure consents, acknowledgements: to the filing year's end",
        keep_until=dt.date(filed.year, 12, 31),
        source="IRS Pub. 1345",
    )
