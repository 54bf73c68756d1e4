"""How fast plans are proven, and the porch is planned.

Run: python bench/bench_plan.py
Prints one line a measure; exits 1 if a target is missed. For an idle machine.
"""

from __future__ import annotations

import datetime
import sys
import time
from pathlib import Path

import numpy as np

from weatherlap.job.reading import read_job
from weatherlap.order.hands import Hand
from weatherlap.order.schedule import Plan, schedule
from weatherlap.order.tasks import After, Hours, Kind, Task, Wait
from weatherlap.order.workdays import work_days
from weatherlap.papers.leafpdf import leaf_pdf
from weatherlap.papers.plansheets import bind

DEMO = Path(__file__).parents[1] / "demo" / "porch-corner.toml"
SIXTY_S, GAP, PORCH_S = 5.0, 0.02, 2.0
TASKS = 60
SKILLS = ("framing", "siding", "metal")
HANDS = (
    Hand("a", "", frozenset(SKILLS)),
    Hand("b", "", frozenset(SKILLS[:2])),
    Hand("c", "", frozenset(SKILLS[1:]), frozenset({datetime.date(2026, 3, 4)})),
)


def drawn_tasks(seed: int) -> list[Task]:
    """Sixty tasks: three trades, some for two, waits for earlier ones, now and then drying."""
    chance = np.random.default_rng(seed)
    rows: list[Task] = []
    for k in range(TASKS):
        skill = SKILLS[int(chance.integers(3))]
        hours = float(chance.integers(1, 25)) / 4
        before = {int(b) for b in chance.integers(max(0, k - 12), k, 2)} if k else set()
        dries = chance.random() < 0.08
        wait, why = (24.0 * int(chance.integers(1, 4)), Wait.DRYING) if dries else (0.0, Wait.NONE)
        rows.append(
            Task(
                f"t{k}", f"t{k}", Kind.OTHER, skill, Hours(hours, hours, hours), skills=(skill,),
                crew=int(chance.integers(1, 3)),
                after=tuple(After(f"t{b}", wait, why) for b in sorted(before)),
                opens="wall" if 10 <= k < 16 else "",
                closes="wall" if 40 <= k < 46 else "",
            )
        )  # fmt: skip
    return rows


def sixty(seed: int) -> tuple[float, float, Plan]:
    """Seconds to the finish, seconds in all, and the plan of sixty drawn tasks."""
    told: list[float] = []
    tasks = drawn_tasks(seed)
    days = work_days(datetime.date(2026, 3, 2), 120, week=range(5))
    begin = time.perf_counter()
    plan = schedule(tasks, HANDS, days, tell=lambda _: told.append(time.perf_counter()))
    return told[1] - begin, time.perf_counter() - begin, plan


def porch() -> float:
    """Seconds for the whole plan of the porch with its papers."""
    job = read_job(DEMO.read_bytes())
    begin = time.perf_counter()
    made = bind(job, own={}, on_the_way=lambda _: None)
    for leaf in made.leaves:
        leaf_pdf(leaf)
    return time.perf_counter() - begin


def main() -> int:
    """Measure, print, and say whether every target is met."""
    good = True
    for seed in range(5):
        seconds, whole, plan = sixty(seed)
        ok = seconds <= SIXTY_S and plan.finish.gap <= GAP
        good &= ok
        print(
            f"60 tasks, case {seed}: {seconds:.2f} s of {whole:.2f} s, "
            f"finish {plan.finish.value:g} h, gap "
            f"{plan.finish.gap:.1%}, open {plan.open.value:g} h, gap {plan.open.gap:.1%} "
            f"{'ok' if ok else 'MISSED'}"
        )
    porch()
    seconds = porch()
    good &= seconds <= PORCH_S
    print(f"porch, plan and papers: {seconds:.2f} s {'ok' if seconds <= PORCH_S else 'MISSED'}")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
