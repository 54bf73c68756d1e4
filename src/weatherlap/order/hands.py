"""The hands of the crew: who can do what, and who takes which task."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from weatherlap.errors import InputError
from weatherlap.order.tasks import Task


@dataclass(frozen=True, slots=True)
class Hand:
    """Somebody of the crew; without skills this one can do everything.

    ``free_h`` is when this one is free on the first day, in hours of work from its begin. [h]
    """

    id: str
    name: str
    skills: frozenset[str] = frozenset()
    off: frozenset[datetime.date] = frozenset()
    free_h: float = 0.0

    def can(self, skills: Iterable[str]) -> bool:
        """Whether this one has all of these."""
        return not self.skills or self.skills.issuperset(skills)


Kindred = tuple[Hand, ...]
"""Hands with the same skills and the same days off, free from the same hour on."""


def kindred(hands: Sequence[Hand]) -> tuple[Kindred, ...]:
    """The hands in groups whose members can stand in for one another."""
    groups: dict[tuple[frozenset[str], frozenset[datetime.date], float], list[Hand]] = {}
    for hand in hands:
        groups.setdefault((hand.skills, hand.off, hand.free_h), []).append(hand)
    return tuple(tuple(rows) for rows in groups.values())


def check_hands(tasks: Sequence[Task], hands: Sequence[Hand]) -> None:
    """Every task has enough hands that can do it.

    Raises
    ------
    InputError
        If there is nobody, or too few have the skill.
    """
    if not hands:
        raise InputError("crew", "there is nobody", "at least one person")
    for task in tasks:
        able = [h for h in hands if h.can(task.skills)]
        if task.outside_crew or len(able) >= task.crew:
            continue
        skill = " and ".join(task.skills) or "any skill"
        who = f"nobody can do {skill}" if not able else f"{len(able)} can do {skill}"
        raise InputError(
            f"task {task.id}",
            who,
            f"{task.crew} with that skill",
            f"Add the skill to a [[person]], or mend the task ({task.text}).",
        )


def given_out(
    order: Sequence[tuple[float, float, Task]], shares: Mapping[str, Sequence[tuple[Kindred, int]]]
) -> dict[str, tuple[str, ...]]:
    """Who takes which task, when it is known how many of each group do.

    Whoever did the last piece of the same trade goes on with it.

    Parameters
    ----------
    order : sequence of (start, end, task)
        The tasks by their starts. [h, h, -]
    shares : mapping
        For each task the groups and how many of each.
    """
    free: dict[str, float] = {}
    last: dict[str, str] = {}
    given: dict[str, tuple[str, ...]] = {}
    for start, end, task in order:
        names: list[str] = []
        for group, count in shares[task.id]:
            ready = [h for h in group if free.get(h.id, 0.0) <= start + 1e-6]
            ready.sort(key=lambda h: last.get(h.id) != task.trade)
            names += [h.id for h in ready[:count]]
        for name in names:
            free[name] = max(free.get(name, 0.0), end)
            last[name] = task.trade
        given[task.id] = tuple(names)
    return given
