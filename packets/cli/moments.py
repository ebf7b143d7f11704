"""Dates, and moments with their time zone, as a person types them."""

import datetime as dt
from typing import Any

import click


class Day(click.ParamType):  # type: ignore[type-arg]  # older click knows no argument here
    """A date such as 2026-10-15."""

    name = "date"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> dt.date:
        if isinstance(value, dt.date):
            return value
        try:
            return dt.date.fromisoformat(str(value))
        except ValueError:
            self.fail("this is no date such as 2026-10-15", param, ctx)


class Moment(click.ParamType):  # type: ignore[type-arg]  # the same
    """A date and time with its offset from UTC, such as 2026-03-03T10:15:00-05:00."""

    name = "moment"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> dt.datetime:
        if isinstance(value, dt.datetime):
            return value
        try:
            moment = dt.datetime.fromisoformat(str(value))
        except ValueError:
            self.fail("this is no time such as 2026-03-03T10:15:00-05:00", param, ctx)
        if moment.tzinfo is None:
            self.fail("the offset from UTC is missing, such as -05:00 at the end", param, ctx)
        return moment
