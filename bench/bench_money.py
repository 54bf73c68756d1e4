"""How fast costs are run through their chances, and a demo is priced.

Run: python bench/bench_money.py [--job demo/porch-corner.toml]
Prints one line a measure; exits 1 if a target is missed. For an idle machine.
"""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path

from weatherlap.job.reading import read_job
from weatherlap.money.amounts import Three
from weatherlap.money.chance import RUNS, Uncertain, run_chance, together
from weatherlap.run.pricing import price_job
from weatherlap.run.scope import scope_of
from weatherlap.run.worked import work_out

CHANCE_S, PACKET_SHARE_S = 3.0, 2.0
LINES = 120


def chance_s() -> float:
    """Seconds for the runs over as many lines as a large job has, some of them rare. [s]"""
    usd = Three(50.0, 100.0, 220.0)
    rows = [Uncertain(f"line {k}", usd, 0.3 if k % 6 == 0 else 1.0, "a") for k in range(LINES)]
    matrix = together(rows, within=0.6, across=0.25)
    begin = time.perf_counter()
    run_chance(rows, matrix)
    return time.perf_counter() - begin


def priced_s(place: Path) -> float:
    """Seconds to price a job and write its scope, the trace not counted. [s]"""
    job = read_job(place.read_text("utf-8"))
    found = work_out(job)
    begin = time.perf_counter()
    scope_of(price_job(job, found=found))
    return time.perf_counter() - begin


def main() -> int:
    """Measure and compare with the targets."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--job", type=Path, default=Path("demo/porch-corner.toml"))
    asked = parser.parse_args()
    chance_s()
    rows = (
        (f"{RUNS} runs over {LINES} lines", min(chance_s() for _ in range(3)), CHANCE_S),
        (f"price and scope of {asked.job.name}", priced_s(asked.job), PACKET_SHARE_S),
    )
    for name, seconds, most in rows:
        print(f"{name}: {seconds:.2f} s, at most {most:g} s")
    return int(any(seconds > most for _, seconds, most in rows))


if __name__ == "__main__":
    sys.exit(main())
