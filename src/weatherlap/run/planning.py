"""Planning: a job's tasks placed in the crew's days, with what the weather makes of it."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from weatherlap.errors import InputError
from weatherlap.job.model import Job
from weatherlap.job.workrecords import WeekDay, Work
from weatherlap.order.finishing import (
    SPARE_DAYS,
    Finish,
    OpenSpan,
    StartChoice,
    best_start,
    finish_of,
    open_span,
    starts_to_choose,
)
from weatherlap.order.goingon import GoneOn
from weatherlap.order.hands import Hand
from weatherlap.order.hours import CrewHours
from weatherlap.order.schedule import USUAL_EFFORT, Plan, schedule
from weatherlap.order.tasks import Task
from weatherlap.order.weather import RainDays
from weatherlap.order.workdays import DAY_H, WorkDays, work_days
from weatherlap.run.ordering import order_job
from weatherlap.run.planweather import climate_for_plan, drying_days, rain_of
from weatherlap.run.tasks import TaskList, tasks_of

MOST_STARTS = 15
WEEK = tuple(WeekDay)


@dataclass(frozen=True)
class Planned:
    """A job's plan: its tasks, their times, the weather's share, and what was assumed.

    ``gone`` is there where it goes on from what was done; ``plan`` then holds what is left.
    """

    job: Job
    listed: TaskList
    plan: Plan
    rain: RainDays
    span: OpenSpan | None
    finish: Finish
    starts: tuple[StartChoice, ...]
    assumed: tuple[str, ...]
    gone: GoneOn | None = None

    @property
    def best(self) -> StartChoice | None:
        """The start in the next weeks with the driest open days."""
        return best_start(self.starts)

    def hand(self, name: str) -> Hand:
        """The person of an id."""
        return next(h for h in self.plan.hands if h.id == name)


def plan_job(
    job: Job,
    table: CrewHours,
    *,
    today: datetime.date | None = None,
    start: datetime.date | None = None,
    effort: float = USUAL_EFFORT,
    starts: int = MOST_STARTS,
    weather: str | None = None,
    tell: Callable[[str], None] | None = None,
) -> Planned:
    """The plan of a job as it is made before anything is done.

    Parameters
    ----------
    today : date or None
        The day on which is asked; a job without a first day begins on the next one, or on the
        first day that was ticked.
    start : date or None
        A first day in place of the job's own.
    effort : float
        Work the solver may spend in all, in about as many seconds. [-]
    starts : int
        How many of the next working days are looked at as a first day.
    weather : str or None
        Text of the weather file, where the job names one.

    Raises
    ------
    InputError
        If the start lies before today, nobody has a skill, or tasks wait in a circle.
    NoSolution
        If no plan fits.
    """
    work = job.work or Work()
    first, notes = _first_day(job, work, today=today, start=start)
    ordered = order_job(job)
    climate = climate_for_plan(job, weather)
    dries = drying_days(job, ordered, climate, opened=first.isoformat())
    listed = tasks_of(job, table, ordered=ordered, drying_days=dries)
    hands = hands_of(job, table)
    listed = replace(listed, tasks=tuple(_fitted(t, job, hands) for t in listed.tasks))
    days = days_for(listed.tasks, work, first, away=[d for h in hands for d in h.off])
    plan = schedule(listed.tasks, hands, days, effort=effort, tell=tell)
    rain, where = rain_of(job, work, climate)
    later = longer(days, work, len(days.days) + SPARE_DAYS)
    if tell is not None:
        tell("Running the plan through the weather")
    return Planned(
        job=job,
        listed=listed,
        plan=plan,
        rain=rain,
        span=open_span(plan, rain),
        finish=finish_of(plan, rain, later),
        starts=starts_to_choose(plan, rain, later, most=starts, runs=300),
        assumed=(*notes, f"Days with rain: {where}.", *_assumed(job, table, rain)),
    )


def hands_of(job: Job, table: CrewHours) -> tuple[Hand, ...]:
    """The crew: the job's persons, else as many as the table says who can do everything."""
    if not job.person:
        count = max(1, round(table.crew))
        return tuple(Hand(f"hand-{k}", f"Hand {k}") for k in range(1, count + 1))
    return tuple(
        Hand(
            p.id,
            p.name or p.id,
            frozenset(p.skills),
            frozenset(datetime.date.fromisoformat(d) for d in p.off),
        )
        for p in job.person
    )


def _fitted(task: Task, job: Job, hands: Sequence[Hand]) -> Task:
    """A derived task takes as many hands as there are; the user's own stay as they were written."""
    if any(task.id == record.id and not record.rate for record in job.task):
        return task
    able = sum(h.can(task.skills) for h in hands)
    return replace(task, crew=min(task.crew, max(able, 1)))


def _first_day(
    job: Job, work: Work, *, today: datetime.date | None, start: datetime.date | None
) -> tuple[datetime.date, list[str]]:
    if start is not None:
        if today is not None and start < today:
            raise InputError("start", f"{start} lies before today", "a day from today on")
        return start, []
    if work.start:
        return datetime.date.fromisoformat(work.start), []
    if job.done:
        day = datetime.date.fromisoformat(min(d.day for d in job.done))
        return day, [f"No first day is given: the plan begins on {day}, the first that was ticked."]
    if today is not None:
        day = today + datetime.timedelta(1)
        return day, [f"No first day is given: the plan begins on {day}."]
    if not job.job.date:
        raise InputError(
            "work: start", "no first day is given, and the visit has no date", "a first day"
        )
    day = datetime.date.fromisoformat(job.job.date) + datetime.timedelta(7)
    return day, [f"No first day is given: the plan begins a week after the visit, on {day}."]


def days_for(
    tasks: Sequence[Task], work: Work, first: datetime.date, *, away: Sequence[datetime.date]
) -> WorkDays:
    """Working days from a day on, enough for all tasks one after another with all their waits."""
    spent = sum(t.length_h for t in tasks) / work.hours
    waited = sum(max((a.wait_h for a in t.after), default=0.0) for t in tasks) / DAY_H
    held = 0
    for task in tasks:
        if task.not_before:
            held = max(held, (datetime.date.fromisoformat(task.not_before) - first).days)
    count = int(2 * spent + waited + held + len(tasks) / 8 + 2 * len(set(away))) + 15
    return _days(work, first, count)


def longer(days: WorkDays, work: Work, count: int) -> WorkDays:
    """The same days with more of them."""
    return _days(work, days.days[0], count)


def _days(work: Work, first: datetime.date, count: int) -> WorkDays:
    hour, minute = (int(part) for part in work.begins.split(":"))
    return work_days(
        first,
        count,
        week=[WEEK.index(day) for day in work.days],
        off=[datetime.date.fromisoformat(d) for d in work.off],
        begins_h=hour + minute / 60.0,
        hours=work.hours,
        rest_h=work.rest_minutes / 60.0,
    )


def _assumed(job: Job, table: CrewHours, rain: RainDays) -> list[str]:
    rows = []
    if not job.person:
        rows.append(f"No crew is named: {table.crew:g} hands who can do everything.")
    rows.append(
        f"A wet day makes the next one wet with {rain.persistence:g} of the way from its usual "
        "chance to certainty."
    )
    rows.append("Hours are drawn one by one; what slows one task may slow all: take it as a hint.")
    rows.append("The low and the high figure are hardly ever passed; between them a triangle.")
    return rows
