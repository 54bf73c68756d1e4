"""A rough plan: each task as soon as hands are free. It tells the solver how far it has to look."""

from __future__ import annotations

import datetime
import math
from collections.abc import Sequence

from weatherlap.errors import NoSolution
from weatherlap.order.hands import Hand
from weatherlap.order.tasks import Task, in_turn
from weatherlap.order.workdays import SLOTS_AN_HOUR, WorkDays


def slots_of(task: Task) -> int:
    """Quarters of an hour from start to end; work that takes any time takes one. [-]"""
    return math.ceil(task.length_h * SLOTS_AN_HOUR - 1e-6)


def ready_slot(days: WorkDays, end_slot: int, wait_h: float) -> int:
    """The first slot when a wait by the clock is over that began at the end of a slot. [h]"""
    clock = days.clock_h(end_slot / SLOTS_AN_HOUR, ending=end_slot > 0)
    return math.ceil(days.first_at(clock + wait_h) * SLOTS_AN_HOUR - 1e-6)


def earliest_slot(task: Task, days: WorkDays) -> int:
    """The first slot of the day before which a task cannot begin."""
    if not task.not_before:
        return 0
    day = datetime.date.fromisoformat(task.not_before)
    return round(days.first_on(day) * SLOTS_AN_HOUR)


def busy_slots(hand: Hand) -> int:
    """Quarters of an hour of the first day on which somebody is at work already. [-]"""
    return math.ceil(hand.free_h * SLOTS_AN_HOUR - 1e-6)


def rough_plan(
    tasks: Sequence[Task], hands: Sequence[Hand], days: WorkDays
) -> dict[str, tuple[int, int]]:
    """First and last slot of each task, one after another as hands come free.

    Raises
    ------
    NoSolution
        If the tasks do not fit into the days.
    """
    free = {h.id: busy_slots(h) for h in hands}
    placed: dict[str, tuple[int, int]] = {}
    for task in in_turn(tasks):
        start = max(
            [earliest_slot(task, days), *(ready_slot(days, placed[a.task][1], a.wait_h)
                                          if a.wait_h > 0 else placed[a.task][1]
                                          for a in task.after)]
        )  # fmt: skip
        length = slots_of(task)
        if not task.outside_crew and length:
            start, names = _with_hands(task, start, hands, free, days)
            free |= dict.fromkeys(names, start + length)
        if start + length > len(days.days) * days.slots:
            raise NoSolution(
                f"No plan fits into the {len(days.days)} working days from {days.days[0]} on: "
                f"{task.text!r} would begin after them. Look at days off, permits, lead times."
            )
        placed[task.id] = (start, start + length)
    return placed


def _with_hands(
    task: Task, start: int, hands: Sequence[Hand], free: dict[str, int], days: WorkDays
) -> tuple[int, list[str]]:
    """The first slot at or after a start when enough hands are free and not away."""
    able = [h for h in hands if h.can(task.skills)]
    end = len(days.days) * days.slots
    while start < end:
        length = slots_of(task)
        here = [h for h in able if free[h.id] <= start and not _away(h, start, length, days)]
        if len(here) >= task.crew:
            return start, [h.id for h in here[: task.crew]]
        later = [free[h.id] for h in able if free[h.id] > start]
        next_day = (start // days.slots + 1) * days.slots
        start = min([*later, next_day])
    return start, []


def _away(hand: Hand, start: int, length: int, days: WorkDays) -> bool:
    """Whether somebody is off on a day of a task."""
    last = min((start + length - 1) // days.slots, len(days.days) - 1)
    return any(days.days[d] in hand.off for d in range(start // days.slots, last + 1))
