"""So far: a job's hours that were written down, and the table of hours they suggest."""

from __future__ import annotations

import datetime
import difflib
from collections.abc import Mapping
from dataclasses import dataclass

from weatherlap.errors import InputError
from weatherlap.job.model import Job
from weatherlap.job.placing import placing
from weatherlap.order.hours import CrewHours
from weatherlap.order.sofar import Lesson, Ticked, left_over, lessons, ticked
from weatherlap.run.tasks import TaskList


@dataclass(frozen=True)
class SoFar:
    """What was done, what is left, and what the hours teach. [h, h]"""

    rows: tuple[Ticked, ...]
    left: tuple[str, ...]
    lessons: tuple[Lesson, ...]
    suggested: Mapping[str, Mapping[str, float | list[float]]]

    @property
    def planned_h(self) -> float:
        """Planned hours of the tasks that are finished. [h]"""
        return sum(r.planned_h for r in self.rows if r.finished)

    @property
    def spent_h(self) -> float:
        """Hours spent on the tasks that are finished. [h]"""
        return sum(r.spent_h for r in self.rows if r.finished)


def so_far(listed: TaskList, *, today: datetime.date | None = None) -> SoFar:
    """Planned against spent hours of a job.

    Raises
    ------
    InputError
        If hours were written down for a task that there is not, or for a day still to come.
    """
    job, tasks = listed.job, listed.tasks
    with placing(job):
        _check(job, [t.id for t in tasks], today)
    rows = ticked(tasks, ((d.task, d.spent_h, d.finished, d.day) for d in job.done))
    learned = lessons(rows)
    left = left_over(tasks, {r.task.id: r.finished for r in rows})
    return SoFar(tuple(rows), tuple(left), tuple(learned), _suggested(learned, listed.table))


def _check(job: Job, known: list[str], today: datetime.date | None) -> None:
    for number, done in enumerate(job.done):
        if done.task not in known:
            close = difflib.get_close_matches(done.task, known, n=3)
            raise InputError(
                f"done {number + 1}",
                f"there is no task {done.task!r}",
                "the id of a task in the plan",
                f"Near it: {', '.join(close)}." if close else "",
                key=("done", number, "task"),
            )
        if today is not None and done.day > today.isoformat():
            found = f"{done.day} is still to come"
            raise InputError(
                f"done {number + 1}", found, "a day up to today", key=("done", number, "day")
            )


def _suggested(
    learned: list[Lesson], table: CrewHours
) -> dict[str, dict[str, float | list[float]]]:
    """The rows of the table of hours as they would stand, by the head of their table."""
    rows: dict[str, dict[str, float | list[float]]] = {}
    for lesson in learned:
        head, _, key = lesson.rate.rpartition(".")
        if head == "work":
            hours = table.work[key].hours
            rows[lesson.rate] = {
                "hours": [
                    round(h * lesson.suggested, 3) for h in (hours.low, hours.likely, hours.high)
                ]
            }
            continue
        trade = table.of[head]
        own = rows.setdefault(head, {})
        if key == "off":
            own["off"] = round(trade.off * lesson.suggested, 3)
        else:
            own["on"] = round(trade.on * lesson.suggested, 3)
            own["on_per_ft2"] = round(trade.on_per_ft2 * lesson.suggested, 4)
    return rows


def done_so_far(job: Job) -> bool:
    """Whether any hours have been written down."""
    return bool(job.done)
