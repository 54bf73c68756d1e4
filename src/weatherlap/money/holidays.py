"""Business days and federal holidays, for the last day on which a client may cancel.

Local law governs: states have their own days and longer periods.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass

from weatherlap.errors import InputError

Date = datetime.date
MONDAY, THURSDAY, SATURDAY, SUNDAY = 0, 3, 5, 6
FIRST_YEAR = 1971
JUNETEENTH_SINCE = 2021
KING_SINCE = 1986
NOTICE_DAYS = 3


@dataclass(frozen=True, slots=True)
class Holiday:
    """A federal holiday: its own day, and the day on which offices keep it."""

    name: str
    day: Date
    kept: Date


def federal_holidays(year: int) -> tuple[Holiday, ...]:
    """The federal holidays whose own day falls in a year.

    Raises
    ------
    InputError
        If the year is before 1971, when the days were others.

    Sources
    -------
    E-010 : 5 U.S.C. 6103.
    """
    if not FIRST_YEAR <= year <= 9998:
        raise InputError("year", f"found {year}", f"a year from {FIRST_YEAR} on")
    return tuple(Holiday(name, day, kept_on(day)) for name, day in _own_days(year))


def _own_days(year: int) -> Iterator[tuple[str, Date]]:
    yield "New Year's Day", Date(year, 1, 1)
    if year >= KING_SINCE:
        yield "Birthday of Martin Luther King, Jr.", _nth(year, 1, MONDAY, 3)
    yield "Washington's Birthday", _nth(year, 2, MONDAY, 3)
    yield "Memorial Day", _last(year, 5, MONDAY)
    if year >= JUNETEENTH_SINCE:
        yield "Juneteenth", Date(year, 6, 19)
    yield "Independence Day", Date(year, 7, 4)
    yield "Labor Day", _nth(year, 9, MONDAY, 1)
    yield "Columbus Day", _nth(year, 10, MONDAY, 2)
    yield "Veterans Day", Date(year, 11, 11)
    yield "Thanksgiving Day", _nth(year, 11, THURSDAY, 4)
    yield "Christmas Day", Date(year, 12, 25)


def _nth(year: int, month: int, week_day: int, number: int) -> Date:
    first = Date(year, month, 1)
    ahead = (week_day - first.weekday()) % 7
    return first + datetime.timedelta(days=ahead + 7 * (number - 1))


def _last(year: int, month: int, week_day: int) -> Date:
    day = Date(year, month, 31)
    return day - datetime.timedelta(days=(day.weekday() - week_day) % 7)


def kept_on(day: Date) -> Date:
    """The day on which a holiday is kept: the Friday before a Saturday, the Monday after a Sunday.

    Sources
    -------
    E-010 : 5 U.S.C. 6103(b) and Executive Order 11582.
    """
    shift = {SATURDAY: -1, SUNDAY: 1}.get(day.weekday(), 0)
    return day + datetime.timedelta(days=shift)


def is_business_day(day: Date) -> bool:
    """Whether a day counts: not a Sunday, nor a federal holiday, nor the day it is kept on.

    Saturdays count. Leaving out both the holiday and the day it is kept on never makes the
    period too short.

    Sources
    -------
    E-009 : 16 CFR 429.0(f), business day.
    """
    if day.weekday() == SUNDAY:
        return False
    near = (h for year in (day.year, day.year + 1) for h in federal_holidays(year))
    return all(day not in (h.day, h.kept) for h in near)


def last_day_to_cancel(signed: Date, *, days: int = NOTICE_DAYS) -> Date:
    """The last day on which a client may cancel, before midnight: so many business days on.

    Raises
    ------
    InputError
        If the days are not from 1 to 60.

    Sources
    -------
    E-009 : 16 CFR 429.1, the third business day after the date of the transaction.
    """
    if not 1 <= days <= 60:
        raise InputError("days to cancel", f"found {days}", "from 1 to 60 business days")
    day, left = signed, days
    while left:
        day += datetime.timedelta(days=1)
        left -= is_business_day(day)
    return day
