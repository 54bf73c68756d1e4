"""Going on: what is left of a plan once some of it is done, and what slipped."""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from weatherlap.order.hands import Hand
from weatherlap.order.schedule import Plan
from weatherlap.order.sofar import Ticked
from weatherlap.order.tasks import Task
from weatherlap.order.workdays import DAY_H, WorkDays

Date = datetime.date
LEAST_LEFT = 0.25
"""What is begun and not done has at least this part of its hours before it. Own choice. [-]"""


@dataclass(frozen=True, slots=True)
class Slip:
    """A task that ends, or has ended, on another day than was planned. [-, -, -, working days]"""

    task: Task
    was: Date
    now: Date
    days_later: int
    finished: bool


@dataclass(frozen=True)
class GoneOn:
    """A plan that goes on from what was done: the plan as it was, and what slipped.

    ``days_later`` is that of the finish. [working days]
    """

    was: Plan
    from_day: Date
    done: tuple[Ticked, ...]
    open_since: Date | None
    slips: tuple[Slip, ...]
    overdue: tuple[Task, ...]
    days_later: int
    notes: tuple[str, ...]

    @property
    def finished(self) -> frozenset[str]:
        """Ids of the tasks that are done."""
        return frozenset(r.task.id for r in self.done if r.finished)

    def was_on(self, name: str) -> Date:
        """The day on which a task was to begin."""
        row = next(r for r in self.was.rows if r.task.id == name)
        return self.was.days.date_at(row.start_h)


def tasks_left(tasks: Sequence[Task], done: Sequence[Ticked]) -> tuple[Task, ...]:
    """The tasks that are not finished, with the hours that are left of what was begun.

    A wait after a finished task has begun on the day it was finished; it is over at the start of
    the day that it reaches.
    """
    rows = {r.task.id: r for r in done}
    finished = {n: r for n, r in rows.items() if r.finished}
    return tuple(
        _left(task, rows.get(task.id), finished) for task in tasks if task.id not in finished
    )


def _left(task: Task, begun: Ticked | None, finished: Mapping[str, Ticked]) -> Task:
    ready = [task.not_before] if task.not_before else []
    for after in task.after:
        row = finished.get(after.task)
        if row is not None and after.wait_h > 0:
            days = math.ceil(after.wait_h / DAY_H - 1e-9)
            ready.append((Date.fromisoformat(row.last_day) + datetime.timedelta(days)).isoformat())
    waits = tuple(a for a in task.after if a.task not in finished)
    left = replace(task, after=waits, not_before=max(ready, default=""))
    planned_h = task.hours.likely
    if begun is None or planned_h <= 0:
        return left
    part = max(1.0 - begun.spent_h / planned_h, LEAST_LEFT)
    return replace(left, hours=task.hours.times(part))


def parts_open(tasks: Sequence[Task], done: Sequence[Ticked]) -> dict[str, Date]:
    """The parts of the corner that stand open now, each with the day it was opened."""
    finished = {r.task.id for r in done if r.finished}
    to_close = {t.closes for t in tasks if t.closes and t.id not in finished}
    opened: dict[str, Date] = {}
    for row in done:
        part = row.task.opens
        if part in to_close:
            day = Date.fromisoformat(row.first_day)
            opened[part] = min(day, opened.get(part, day))
    return opened


def hands_from(
    hands: Sequence[Hand], spent: Sequence[tuple[str | None, float]], *, most_h: float
) -> tuple[Hand, ...]:
    """The crew with what each has worked already on the day from which the plan goes on.

    Parameters
    ----------
    spent : sequence of (person, hours)
        Hours of that day; those of nobody named fall to who has worked least. [-, h]
    most_h : float
        Hours of a working day. [h]
    """
    worked = {h.id: 0.0 for h in hands}
    for name, hours in sorted(spent, key=lambda row: row[0] is None):
        who = name if name in worked else min(worked, key=lambda n: worked[n])
        worked[who] = min(worked[who] + hours, most_h)
    return tuple(replace(h, free_h=worked[h.id]) for h in hands)


def slips_of(was: Plan, now: Plan, done: Sequence[Ticked], days: WorkDays) -> Iterator[Slip]:
    """What ends on another day than in the plan as it was, in the order of that plan.

    Parameters
    ----------
    days : WorkDays
        Working days from the start of the plan as it was to the end of both.
    """
    ends = {r.task.id: now.days.date_at(r.end_h, ending=True) for r in now.rows}
    over = {r.task.id: Date.fromisoformat(r.last_day) for r in done if r.finished}
    for row in was.rows:
        before = was.days.date_at(row.end_h, ending=True)
        after = over.get(row.task.id) or ends.get(row.task.id)
        if after is None:
            continue
        later = days.number_of(after) - days.number_of(before)
        if later:
            yield Slip(row.task, before, after, later, row.task.id in over)


def overdue_on(was: Plan, done: Sequence[Ticked], day: Date) -> tuple[Task, ...]:
    """Tasks that were to be done before a day and are not."""
    over = {r.task.id for r in done if r.finished}
    return tuple(
        r.task
        for r in was.rows
        if r.task.id not in over and was.days.date_at(r.end_h, ending=True) < day
    )


def ticked_too_soon(tasks: Sequence[Task], done: Sequence[Ticked]) -> Iterator[tuple[Task, Task]]:
    """A task that is done, and one before it that is not, pair by pair."""
    over = {r.task.id for r in done if r.finished}
    by_id = {t.id: t for t in tasks}
    for task in tasks:
        if task.id in over:
            yield from ((task, by_id[a.task]) for a in task.after if a.task not in over)
