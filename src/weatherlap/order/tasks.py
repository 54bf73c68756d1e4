"""Tasks: one thing that somebody does in one go, with its hours and what it must wait for."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from graphlib import CycleError, TopologicalSorter

from weatherlap.errors import InputError
from weatherlap.job.workrecords import Kind

__all__ = [
    "NO_HOURS",
    "After",
    "Hours",
    "Kind",
    "Per",
    "Task",
    "Wait",
    "check_tasks",
    "circle_in",
    "exposed_parts",
    "in_turn",
    "without_implied",
]


class Per(StrEnum):
    """What a quantity counts."""

    PIECE = "piece"
    FT = "ft"
    FT2 = "sq ft"
    JOB = "job"
    HOUR = "hour"


class Wait(StrEnum):
    """Why a task waits after another has ended."""

    NONE = ""
    CURING = "curing"
    DRYING = "drying"
    DELIVERY = "delivery"
    NOTICE = "notice of the inspection"
    PERMIT = "the permit"
    OTHER = "waiting time"


@dataclass(frozen=True, slots=True)
class Hours:
    """Hours of one person: hardly ever less, most likely, hardly ever more. [h]"""

    low: float
    likely: float
    high: float

    def __post_init__(self) -> None:
        """Refuse hours that are negative or out of order."""
        if not 0 <= self.low <= self.likely <= self.high or not math.isfinite(self.high):
            raise InputError(
                "hours",
                f"found {self.low:g}, {self.likely:g}, {self.high:g}",
                "three numbers of 0 or more, the low one first",
            )

    @property
    def mean(self) -> float:
        """Mean of the triangle over the three. [h]"""
        return (self.low + self.likely + self.high) / 3.0

    def times(self, factor: float) -> Hours:
        """The same for so many. [-]"""
        return Hours(self.low * factor, self.likely * factor, self.high * factor)

    def plus(self, other: Hours) -> Hours:
        """Both one after the other."""
        return Hours(self.low + other.low, self.likely + other.likely, self.high + other.high)


NO_HOURS = Hours(0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class After:
    """A task that must have ended, and the hours by the clock to wait from then on. [h]"""

    task: str
    wait_h: float = 0.0
    why: Wait = Wait.NONE


@dataclass(frozen=True, slots=True)
class Task:
    """A task.

    ``hours`` are those of one person; ``crew`` persons work at it together. ``skills`` must be
    in everybody who works at it. ``quantity`` is counted in ``per``, and ``rate`` names the row
    of the table of hours that it was reckoned with ("" for hours that were given).
    ``opens`` and ``closes`` name the part of the corner that it leaves open, or helps to close.
    ``pieces`` and ``members`` are ids; ``changes`` are numbers of the job's changes, from 1;
    ``cautions`` are keys of the register.
    ``not_before`` is a day (YYYY-MM-DD); ``outside_crew`` marks what others do; one that is
    ``late`` is left until what waits for it can follow.
    """

    id: str
    text: str
    kind: Kind
    trade: str
    hours: Hours
    skills: tuple[str, ...] = ()
    crew: int = 1
    quantity: float = 1.0
    per: Per = Per.JOB
    rate: str = ""
    after: tuple[After, ...] = ()
    needs_dry: bool = False
    opens: str = ""
    closes: str = ""
    pieces: tuple[str, ...] = ()
    members: tuple[str, ...] = ()
    changes: tuple[int, ...] = ()
    cautions: tuple[str, ...] = ()
    not_before: str = ""
    outside_crew: bool = False
    late: bool = False

    @property
    def length_h(self) -> float:
        """Working hours from start to end, likely. [h]"""
        return self.hours.likely / self.crew


def check_tasks(tasks: Sequence[Task]) -> None:
    """Ids once, names that exist, and no task that waits for itself.

    Raises
    ------
    InputError
        If an id stands twice, a task waits for one that there is not, or tasks wait for one
        another in a circle.
    """
    known: dict[str, Task] = {}
    for task in tasks:
        if task.id in known:
            raise InputError(f"task {task.id}", "its id is used again", "an id of its own")
        known[task.id] = task
    for task in tasks:
        for after in task.after:
            if after.task not in known:
                raise InputError(
                    f"task {task.id}",
                    f"it waits for {after.task!r}, which there is not",
                    "the id of a task",
                    f"There are: {', '.join(sorted(known))}.",
                )
    circle = circle_in({t.id: tuple(a.task for a in t.after) for t in tasks})
    if circle:
        around = " waits for ".join(circle)
        raise InputError(
            "tasks",
            f"they wait for one another in a circle: {around}",
            "an order in which one of them can be first",
            "Take one of these waits out.",
        )


def circle_in(waits: Mapping[str, Sequence[str]]) -> tuple[str, ...]:
    """Tasks of which each waits for the next, the first one again at the end; () if none do."""
    try:
        TopologicalSorter(waits).prepare()
    except CycleError as error:
        return tuple(reversed(error.args[1]))
    return ()


def in_turn(tasks: Sequence[Task]) -> tuple[Task, ...]:
    """Each task after all that it waits for, else in the order given."""
    by_id = {t.id: t for t in tasks}
    return tuple(by_id[name] for name in _turn(tasks))


def _turn(tasks: Sequence[Task]) -> Iterator[str]:
    sorter = TopologicalSorter({t.id: tuple(a.task for a in t.after) for t in tasks})
    place = {t.id: k for k, t in enumerate(tasks)}
    sorter.prepare()
    ready = list(sorter.get_ready())
    while ready:
        ready.sort(key=lambda name: place[name])
        name = ready.pop(0)
        yield name
        sorter.done(name)
        ready.extend(sorter.get_ready())


def exposed_parts(tasks: Sequence[Task]) -> tuple[str, ...]:
    """The parts of the corner that the tasks open, in the order of the tasks."""
    return tuple(dict.fromkeys(t.opens for t in tasks if t.opens))


def without_implied(tasks: Sequence[Task]) -> tuple[Task, ...]:
    """The tasks, in an order that can be worked, without waits that others of theirs imply."""
    earlier: dict[str, set[str]] = {}
    rows = []
    for task in tasks:
        longest: dict[str, After] = {}
        for after in task.after:
            old = longest.get(after.task)
            if old is None or after.wait_h > old.wait_h:
                longest[after.task] = after
        kept = tuple(
            a
            for a in longest.values()
            if not any(a.task in earlier[b.task] and b.wait_h >= a.wait_h for b in longest.values())
        )
        earlier[task.id] = {a.task for a in kept}.union(*(earlier[a.task] for a in kept))
        rows.append(replace(task, after=kept))
    return tuple(rows)
