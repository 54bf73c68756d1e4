"""A plan as an iCalendar file: an event for each task on each day."""

from __future__ import annotations

import datetime
from collections.abc import Iterator

from icalendar import Calendar, Event

from weatherlap.order.schedule import Placed
from weatherlap.order.workdays import WorkDays
from weatherlap.run.planning import Planned

MAKER = "-//Weatherlap//plan of a job//EN"
Span = tuple[datetime.datetime, datetime.datetime]


def plan_calendar(planned: Planned, *, hand: str | None = None) -> bytes:
    """The plan, or one person's share of it, as RFC 5545 text in the time of the place.

    Parameters
    ----------
    hand : str or None
        The id of a person; None for everybody.
    """
    calendar = Calendar()
    calendar.add("prodid", MAKER)
    calendar.add("version", "2.0")
    calendar.add("x-wr-calname", planned.job.job.title)
    stamp = datetime.datetime.combine(planned.plan.first_day, datetime.time(), tzinfo=datetime.UTC)
    for row in planned.plan.rows:
        if hand is not None and hand not in row.hands:
            continue
        for number, span in enumerate(parts_by_day(row, planned.plan.days), start=1):
            calendar.add_component(_event(planned, row, (number, span), stamp))
    return bytes(calendar.to_ical())


def parts_by_day(row: Placed, days: WorkDays) -> Iterator[Span]:
    """From when to when a task is worked at on each of its days."""
    at = row.start_h
    while at < row.end_h - 1e-6:
        stop = min(row.end_h, (days.day_at(at) + 1) * days.hours)
        yield days.moment(at), days.moment(stop, ending=True)
        at = stop


def _event(
    planned: Planned, row: Placed, part: tuple[int, Span], stamp: datetime.datetime
) -> Event:
    number, (begins, ends) = part
    task = row.task
    event = Event()
    event.add("uid", f"{task.id}-{number}-{begins:%Y%m%d}@plan.weatherlap")
    event.add("dtstamp", stamp)
    event.add("dtstart", begins)
    event.add("dtend", ends)
    event.add("summary", task.text)
    names = ", ".join(planned.hand(h).name for h in row.hands)
    dry = " Needs dry weather." if task.needs_dry else ""
    event.add("description", f"{task.kind.value}, {task.trade}. {names}.{dry}")
    event.add("categories", [task.kind.value])
    if planned.job.job.place:
        event.add("location", planned.job.job.place)
    return event
