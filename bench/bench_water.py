"""Speed of the water trace, in ratios of one run, beside the targets.

    python bench/bench_water.py

Big walls of sheathing, barrier and overlapping siding are traced on both layers; the drop follower
of tests/support is run on a grid just fine enough for an area error under 1 %.
"""

from __future__ import annotations

import math
import random
import resource
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).parents[1]
sys.path[:0] = [str(ROOT / "src"), str(ROOT / "tests" / "support")]

from dropcompare import area_error  # noqa: E402

from weatherlap.building.corner import build_corner  # noqa: E402
from weatherlap.job.model import Job  # noqa: E402
from weatherlap.water.rain import site_rain  # noqa: E402
from weatherlap.water.trace import Trace, trace  # noqa: E402

SIZES = (100, 1_000, 10_000)
FOLLOWED = (100,)
"""Sizes that the follower is run on; its time grows with pieces times drops."""
SHIFTS = (0.0, 0.13, 0.29, 0.47, 0.61, 0.83)
"""Where the follower's grid is laid, as shares of its step. [-]"""
COURSE_IN, ROLL_IN = 8.0, 36.0


def big_wall(count: int, *, seed: int = 1) -> Job:
    """A wall of so many pieces, with a barrier that is lapped the wrong way round in places."""
    draw = random.Random(seed)
    side = max(math.isqrt(count), 2)
    wide, tall = 16.0 * side, COURSE_IN * side
    pieces = [_piece("sheathing", "absorbs", [0, 0, wide, tall])]
    rolls = math.ceil(tall / (ROLL_IN - 4))
    order = list(range(rolls))
    for k in range(1, rolls, 5):
        order[k - 1], order[k] = order[k], order[k - 1]
    for k in order:
        low = k * (ROLL_IN - 4)
        pieces.append(_piece(f"barrier-{k}", "resists", [0, low, wide, min(low + ROLL_IN, tall)]))
    for row in range(side):
        left, low = 0.0, row * COURSE_IN
        while left < wide and len(pieces) < count:
            right = min(left + draw.uniform(8, 24), wide)
            rect = [max(left - 1, 0), low, right, min(low + COURSE_IN + 1.25, tall)]
            pieces.append(_piece(f"siding-{row}-{len(pieces)}", "sheds", rect))
            left = right
    wall = {"id": "wall", "tilt": 90, "facing": 180, "origin": [0, 0, 0]}
    wall |= {"width": wide, "height": tall}
    return Job.model_validate({"job": {"title": "bench"}, "face": [wall], "piece": pieces})


def _piece(name: str, sheet: str, rect: list[float]) -> dict[str, object]:
    return {"id": name, "sheet": sheet, "on": [{"face": "wall", "rect": rect}]}


def best_of(job: Job, times: int) -> tuple[float, Trace]:
    """The least work of several whole traces, corner and all, after one to warm up. [s of CPU]"""
    rain = site_rain(job.site)
    result = trace(build_corner(job), rain)
    spent = []
    for _ in range(times):
        began = time.process_time()
        result = trace(build_corner(job), rain)
        spent.append(time.process_time() - began)
    return min(spent), result


def followed(job: Job, result: Trace) -> tuple[float, float]:
    """Work of the coarsest grid of drops right to 1 % of the area, and its error. [s of CPU], [-]

    A grid may be right by luck: it must be right wherever it is laid, so it is laid at several
    places and the worst counts; the time is that of one.
    """
    step = job.face[0].height / 8
    while True:
        worst, spent = 0.0, math.inf
        for shift in SHIFTS:
            began = time.process_time()
            worst = max(worst, area_error(job, result, step=step, jitter=True, shift=shift))
            spent = min(spent, time.process_time() - began)
            if worst >= 0.01:
                break
        else:
            return spent, worst
        step /= 1.5


def whole_process() -> tuple[str, float] | None:
    """The slowest `weatherlap trace` of the demo jobs, from start to exit. [s]"""
    code = "import sys; sys.path.insert(0, 'src'); from weatherlap.cli import main; main()"
    slowest = None
    for job in sorted((ROOT / "demo").rglob("*.toml")):
        began = time.perf_counter()
        command = [sys.executable, "-c", code, "trace", str(job)]
        done = subprocess.run(command, cwd=ROOT, capture_output=True, check=False)
        spent = time.perf_counter() - began
        if done.returncode == 0 and (slowest is None or spent > slowest[1]):
            slowest = job.name, spent
    return slowest


def main() -> None:
    """Measure and print the table."""
    spent: dict[int, float] = {}
    for size in SIZES:
        job = big_wall(size)
        spent[size], result = best_of(job, 5 if size < 10_000 else 1)
        most_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        print(f"trace {size:6} pieces {1e3 * spent[size]:9.1f} ms   peak {most_mb:5.0f} MB", end="")
        print({100: "   (target 50 ms, 300 MB)", 10_000: "   (target 5000 ms)"}.get(size, ""))
        if size in FOLLOWED:
            slow, error = followed(job, result)
            ratio = slow / spent[size]
            print(
                f"  follower {slow:7.2f} s at {100 * error:.2f} %, {ratio:6.0f} times  (target 100)"
            )
    growth = math.log(spent[SIZES[-1]] / spent[SIZES[0]]) / math.log(SIZES[-1] / SIZES[0])
    print(f"growth n^{growth:.2f} from {SIZES[0]} to {SIZES[-1]}   (target n^1.2)")
    slowest = whole_process()
    if slowest is not None:
        print(f"whole process, {slowest[0]}: {slowest[1]:.2f} s   (target 1 s)")


if __name__ == "__main__":
    main()
