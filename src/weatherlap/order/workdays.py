"""Working days: positions in working hours against days and times of day."""

from __future__ import annotations

import datetime
from bisect import bisect_left, bisect_right
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from functools import cached_property

from weatherlap.errors import InputError

DAY_H = 24.0
SLOTS_AN_HOUR = 4
"""Plans are laid out in quarters of an hour."""
MOST_DAYS = 3000


@dataclass(frozen=True)
class WorkDays:
    """The days on which is worked, in order, and the hours of each.

    A position is counted in hours of work from the first morning on. [h, h, h]
    """

    days: tuple[datetime.date, ...]
    begins_h: float
    hours: float
    rest_h: float = 0.0

    @property
    def slots(self) -> int:
        """Quarters of an hour in a day. [-]"""
        return round(self.hours * SLOTS_AN_HOUR)

    @cached_property
    def ordinals(self) -> tuple[int, ...]:
        """The days as numbers. [days]"""
        return tuple(d.toordinal() for d in self.days)

    def day_at(self, at_h: float, *, ending: bool = False) -> int:
        """Which working day a position is on; an end at the close of a day belongs to it. [h]"""
        number = int((at_h + 1e-9) // self.hours)
        if ending and number and at_h - number * self.hours < 1e-6:
            number -= 1
        return min(number, len(self.days) - 1)

    def date_at(self, at_h: float, *, ending: bool = False) -> datetime.date:
        """The date of a position. [h]"""
        return self.days[self.day_at(at_h, ending=ending)]

    def moment(self, at_h: float, *, ending: bool = False) -> datetime.datetime:
        """Date and time of day of a position; the rest is taken in mid-day. [h]"""
        number = self.day_at(at_h, ending=ending)
        within = at_h - number * self.hours
        half = self.hours / 2.0
        past = within > half + 1e-9 or (not ending and within > half - 1e-9)
        clock = self.begins_h + within + (self.rest_h if past else 0.0)
        midnight = datetime.datetime.combine(self.days[number], datetime.time())
        return midnight + datetime.timedelta(minutes=round(clock * 60.0))

    def clock_h(self, at_h: float, *, ending: bool = False) -> float:
        """A position in hours by the clock from midnight of the first day. [h]"""
        first = datetime.datetime.combine(self.days[0], datetime.time())
        return (self.moment(at_h, ending=ending) - first).total_seconds() / 3600.0

    def first_at(self, clock_h: float) -> float:
        """The first position at or after an hour by the clock. [h]"""
        day = int(clock_h // DAY_H)
        number = bisect_left(self.ordinals, self.ordinals[0] + day)
        if number >= len(self.days):
            return len(self.days) * self.hours
        if self.ordinals[number] > self.ordinals[0] + day:
            return number * self.hours
        within = clock_h - day * DAY_H - self.begins_h
        if within > self.hours / 2.0:
            within = max(self.hours / 2.0, within - self.rest_h)
        return number * self.hours + min(max(within, 0.0), self.hours)

    def first_on(self, day: datetime.date) -> float:
        """The first position on or after a date. [h]"""
        return bisect_left(self.days, day) * self.hours

    def number_of(self, day: datetime.date) -> int:
        """How many working days lie before a date. [days]"""
        return bisect_left(self.days, day)

    def moved_to(self, start: datetime.date) -> WorkDays:
        """The same from a later day on."""
        return WorkDays(
            self.days[bisect_right(self.days, start - datetime.timedelta(1)) :],
            self.begins_h,
            self.hours,
            self.rest_h,
        )


def work_days(
    start: datetime.date,
    count: int,
    *,
    week: Collection[int],
    off: Sequence[datetime.date] = (),
    begins_h: float = 7.5,
    hours: float = 8.0,
    rest_h: float = 0.5,
) -> WorkDays:
    """So many working days from a day on.

    Parameters
    ----------
    week : collection of int
        Days of the week that are worked, Monday 0.
    off : sequence of date
        Days on which nobody works.

    Raises
    ------
    InputError
        If no day of the week is worked, the hours do not fit into a day, or there are too few
        days left in the calendar.
    """
    if not set(week) & set(range(7)):
        raise InputError("work: days", "no day of the week is worked", "at least one")
    if not 0 < hours <= 16 or begins_h + hours + rest_h > DAY_H:
        found = f"{hours:g} hours from {begins_h:g} with {rest_h:g} of rest"
        raise InputError("work: hours", found, "a working day that ends before midnight")
    closed = set(off)
    days: list[datetime.date] = []
    day = start
    for _ in range(20 * MOST_DAYS):
        if len(days) >= min(count, MOST_DAYS):
            break
        if day.weekday() in week and day not in closed:
            days.append(day)
        if day == datetime.date.max:
            raise InputError("work: start", f"found {start}", "a day that is not so far ahead")
        day += datetime.timedelta(1)
    rounded = max(round(hours * SLOTS_AN_HOUR), 1) / SLOTS_AN_HOUR
    return WorkDays(tuple(days), begins_h, rounded, rest_h)
