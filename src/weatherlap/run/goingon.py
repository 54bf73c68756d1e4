"""A job's plan from today on: what is done is kept, the rest is placed anew, slips are said."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from dataclasses import replace

from weatherlap.errors import InputError
from weatherlap.job.workrecords import Work
from weatherlap.order.finishing import (
    SPARE_DAYS,
    StartChoice,
    finish_of,
    open_span,
    starts_to_choose,
)
from weatherlap.order.goingon import (
    GoneOn,
    hands_from,
    overdue_on,
    parts_open,
    slips_of,
    tasks_left,
    ticked_too_soon,
)
from weatherlap.order.schedule import USUAL_EFFORT, Plan, schedule
from weatherlap.order.sofar import Ticked
from weatherlap.order.tasks import Task
from weatherlap.order.workdays import WorkDays
from weatherlap.run.planning import MOST_STARTS, Planned, days_for, longer
from weatherlap.run.sofar import SoFar

Date = datetime.date


def go_on(
    was: Planned,
    done: SoFar,
    *,
    today: Date | None = None,
    start: Date | None = None,
    effort: float = USUAL_EFFORT,
    starts: int = MOST_STARTS,
    tell: Callable[[str], None] | None = None,
) -> Planned:
    """The plan of what is left.

    Parameters
    ----------
    was : Planned
        The plan as it was made before anything was done.
    today : date or None
        The day from which it goes on; None takes the last one that was ticked.
    start : date or None
        A day on which work goes on, in place of today.

    Raises
    ------
    InputError
        If work is to go on before the last day that was ticked.
    NoSolution
        If no plan fits.
    """
    work = was.job.work or Work()
    last = Date.fromisoformat(max(r.last_day for r in done.rows))
    if start is not None and start < last:
        found = f"{start} lies before {last}, the last day that was ticked"
        raise InputError("start", found, "a day from that on")
    from_day = start or max(today or last, last)
    listed = was.listed
    left = tasks_left(listed.tasks, done.rows)
    opened = parts_open(listed.tasks, done.rows)
    spent = [(d.person, d.spent_h) for d in was.job.done if d.day == from_day.isoformat()]
    days = days_for(left, work, from_day, away=[d for h in was.plan.hands for d in h.off])
    at_once = days.days[0] == from_day
    hands = hands_from(was.plan.hands, spent if at_once else (), most_h=days.hours)
    plan = schedule(left, hands, days, effort=effort, open_now=opened, tell=tell)
    later = longer(days, work, len(days.days) + SPARE_DAYS)
    choices: tuple[StartChoice, ...] = ()
    if any(t.opens for t in left) and not any(r.task.opens for r in done.rows):
        choices = starts_to_choose(plan, was.rain, later, most=starts, runs=300)
    return replace(
        was,
        listed=replace(listed, tasks=left),
        plan=plan,
        span=open_span(plan, was.rain, open_from=from_day if opened else None),
        finish=finish_of(plan, was.rain, later),
        starts=choices,
        gone=_gone(was, plan, done.rows, work, from_day, min(opened.values(), default=None)),
    )


def _gone(
    was: Planned,
    plan: Plan,
    done: tuple[Ticked, ...],
    work: Work,
    from_day: Date,
    open_since: Date | None,
) -> GoneOn:
    every = _across(was.plan.days, plan.days, work)
    over = [r.last_day for r in done if r.finished]
    ends = plan.last_day if plan.rows else Date.fromisoformat(max(over, default=str(from_day)))
    notes = tuple(
        f"{_short(task)} is ticked and what comes before it is not: {_short(before)}. Tick that "
        "too, or it is planned again."
        for task, before in ticked_too_soon(was.listed.tasks, done)
    )
    return GoneOn(
        was=was.plan,
        from_day=from_day,
        done=done,
        open_since=open_since,
        slips=tuple(slips_of(was.plan, plan, done, every)),
        overdue=overdue_on(was.plan, done, from_day),
        days_later=every.number_of(ends) - every.number_of(was.plan.last_day),
        notes=notes,
    )


def _across(was: WorkDays, now: WorkDays, work: Work) -> WorkDays:
    """Working days from the start of the plan as it was to the end of what is left."""
    span = (now.days[-1] - was.days[0]).days + 1
    return longer(was, work, max(span, len(was.days)))


def _short(task: Task) -> str:
    return f"{task.text} ({task.id})"
