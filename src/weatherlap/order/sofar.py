"""So far: hours that were written down against those that were planned, and what they teach."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from weatherlap.order.tasks import Task

EXPERIENCE_H = 16.0
"""The table's own figure weighs as much as so many hours that were written down. [h]"""


@dataclass(frozen=True, slots=True)
class Ticked:
    """A task that has been worked at: planned and spent hours of all hands. [h, h]"""

    task: Task
    spent_h: float
    finished: bool
    first_day: str
    last_day: str

    @property
    def planned_h(self) -> float:
        """Hours that were planned. [h]"""
        return self.task.hours.likely


@dataclass(frozen=True, slots=True)
class Lesson:
    """A row of the table of hours with what finished tasks say of it. [h, h, -, -]

    ``told`` is what the hours alone would make of the row, ``suggested`` what is proposed; both
    as a factor on the row.
    """

    rate: str
    tasks: tuple[str, ...]
    planned_h: float
    spent_h: float
    told: float
    suggested: float


def ticked(tasks: Sequence[Task], spent: Iterable[tuple[str, float, bool, str]]) -> list[Ticked]:
    """The tasks that were worked at, in the order of the plan.

    Parameters
    ----------
    spent : iterable of (task, hours, finished, day)
        What was written down; a task is finished when one of its rows says so. [-, h, -, -]
    """
    hours: dict[str, float] = {}
    done: dict[str, bool] = {}
    first: dict[str, str] = {}
    last: dict[str, str] = {}
    for name, spent_h, finished, day in spent:
        hours[name] = hours.get(name, 0.0) + spent_h
        done[name] = done.get(name, False) or finished
        first[name] = min(first.get(name, day), day)
        last[name] = max(last.get(name, day), day)
    return [
        Ticked(t, hours[t.id], done[t.id], first[t.id], last[t.id]) for t in tasks if t.id in hours
    ]


def suggested_factor(planned_h: float, spent_h: float) -> float:
    """Factor on a row of the table that the hours of finished tasks suggest.

    Parameters
    ----------
    planned_h : float
        Hours the table gives for them. [h]
    spent_h : float
        Hours that they took. [h]

    Returns
    -------
    float
        (E + spent) / (E + planned) with E = 16 h: little work moves the row little. [-]

    Sources
    -------
    O-009 : weight of the table's own figure.
    """
    return (EXPERIENCE_H + spent_h) / (EXPERIENCE_H + planned_h)


def lessons(rows: Sequence[Ticked]) -> list[Lesson]:
    """What the finished tasks say of each row of the table that they were planned with."""
    by_rate: dict[str, list[Ticked]] = {}
    for row in rows:
        if row.finished and row.task.rate and row.planned_h > 0:
            by_rate.setdefault(row.task.rate, []).append(row)
    return [_lesson(rate, own) for rate, own in by_rate.items()]


def _lesson(rate: str, rows: Sequence[Ticked]) -> Lesson:
    planned = sum(r.planned_h for r in rows)
    spent = sum(r.spent_h for r in rows)
    names = tuple(r.task.id for r in rows)
    return Lesson(rate, names, planned, spent, spent / planned, suggested_factor(planned, spent))


def left_over(tasks: Sequence[Task], finished: Mapping[str, bool]) -> list[str]:
    """Ids of the tasks that are still to be finished."""
    return [t.id for t in tasks if not finished.get(t.id, False)]
