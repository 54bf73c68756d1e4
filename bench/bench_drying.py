"""How fast the drying march is, and against a general stiff solver at equal error.

Run: python bench/bench_drying.py [--draws 64] [--stiff-hours 72]
Prints one line a measure; exits 1 if a target is missed.
"""

from __future__ import annotations

import argparse
import importlib.util
import sys
import time
from pathlib import Path

import numpy as np

from weatherlap.drying.band import year_band
from weatherlap.drying.climate import Climate, driving_rain_kg_m2_h, from_hour
from weatherlap.drying.march import Steps, march
from weatherlap.drying.model import Layer, Leak, Wall
from weatherlap.drying.normals import hourly_climate, place
from weatherlap.drying.sides import wall_airs
from weatherlap.drying.stack import leaks_of, stack_of, start_of
from weatherlap.job.reading import read_job
from weatherlap.run.dryingout import drying_of

YEAR_S, TIMES_STIFF, BAND_S, PORCH_S = 1.0, 20.0, 30.0, 2.0
PORCH = Path(__file__).parents[1] / "demo" / "porch-corner.toml"
LEAK_SHARE = 0.02
LADDER = ((10.0, 3600.0), (2.0, 1800.0), (1.0, 900.0), (0.5, 450.0), (0.2, 112.5), (0.1, 56.25))
STIFF = (("LSODA", 1e-2), ("LSODA", 1e-1), ("BDF", 1e-1))
HELPER = Path(__file__).parents[1] / "tests" / "validation" / "stiff_reference.py"


def wall(climate: Climate) -> Wall:
    """Seven layers, about 120 cells, leaking through the year."""
    rain = driving_rain_kg_m2_h(climate, facing_deg=180.0)
    return Wall(
        "bench wall",
        (
            Layer("siding", "cedar", 0.0143),
            Layer("gap", "air", 0.01, air_changes_per_h=50.0),
            Layer("felt", "asphalt-felt", 0.0008),
            Layer("sheathing", "plywood", 0.0159),
            Layer("stud", "softwood", 0.089),
            Layer("board", "softwood", 0.019),
            Layer("gypsum", "gypsum", 0.0159),
        ),
        facing_deg=180.0,
        leaks=(Leak("sheathing", LEAK_SHARE * rain),),
    )


def best_of(times: int, what: object) -> float:
    """Shortest processor time of several calls. [s]"""
    assert callable(what)
    found = []
    for _ in range(times):
        begin = time.process_time()
        what()
        found.append(time.process_time() - begin)
    return min(found)


def time_year(climate: Climate) -> float:
    """A year, hourly, after warm-up."""
    stack = stack_of(wall(climate))
    airs, leaks = wall_airs(stack.wall, climate=climate), leaks_of(stack, hours=climate.hours)
    start = start_of(stack, airs=airs)
    begin = time.perf_counter()
    first = march(stack.cells, airs=airs, start=start, leaks=leaks)
    print(f"first year, with compiling or loading      {time.perf_counter() - begin:8.2f} s")
    seconds = best_of(5, lambda: march(stack.cells, airs=airs, start=start, leaks=leaks))
    print(
        f"year, hourly, {len(stack.slabs)} layers, {stack.cells.width.size} cells         "
        f"{seconds:8.3f} s   ({first.steps} steps, {first.rounds} rounds)"
    )
    gap = abs(first.books.water_gap_kg_m2) / first.books.leaked_kg_m2
    print(f"water that does not close, of what leaked  {gap:8.1e}")
    return seconds


def time_stiff(climate: Climate, hours: int) -> float:
    """How many times faster than SciPy's BDF and LSODA at an error no larger."""
    spec = importlib.util.spec_from_file_location("stiff_reference", HELPER)
    assert spec is not None and spec.loader is not None
    helper = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(helper)
    weather = from_hour(climate, first_hour=2400, hours=hours)
    stack = stack_of(wall(weather))
    airs, leaks = wall_airs(stack.wall, climate=weather), leaks_of(stack, hours=hours)
    start = start_of(stack, airs=airs)
    exact = march(
        stack.cells, airs=airs, start=start, leaks=leaks,
        steps=Steps(water_tolerance_kg_m3=0.01, longest_s=7.03125),
    ).water_kg_m3  # fmt: skip

    def error(water: np.ndarray) -> float:
        return float(np.abs(stack.cells.layer_means(water - exact)).max())

    ladder = []
    for tolerance, longest in LADDER:
        steps = Steps(water_tolerance_kg_m3=tolerance, longest_s=longest)

        def once(steps: Steps = steps) -> np.ndarray:
            return march(stack.cells, airs=airs, start=start, leaks=leaks, steps=steps).water_kg_m3

        ladder.append((error(once()), best_of(3, once)))
        off, seconds = ladder[-1]
        print(f"march, {hours} h, {longest:g} s steps: {seconds:.4f} s, {off:.1e} kg/m3")
    faster = []
    for method, rtol in STIFF:
        solver = helper.StiffReference(stack.cells, airs, leaks)
        begin = time.process_time()
        off = error(solver.run(start, hours, rtol=rtol, method=method))
        took = time.process_time() - begin
        equal = next((seconds for ours, seconds in ladder if ours <= off), None)
        times = took / equal if equal else float("nan")
        faster.append(times)
        print(f"{method}, rtol {rtol:g}: {took:.2f} s, {off:.1e} kg/m3: {times:.0f} times slower")
    return float(np.nanmin(faster))


def time_band(climate: Climate, draws: int) -> float:
    """The band over material draws on two threads, as processor time shared by two cores. [s]"""
    begin, worked = time.perf_counter(), time.process_time()
    year_band(wall(climate), climate=climate, draws=draws, workers=2)
    elapsed, worked = time.perf_counter() - begin, time.process_time() - worked
    print(f"band of {draws} draws, 2 threads: {elapsed:.1f} s elapsed, {worked / 2:.1f} s a core")
    return worked / 2


def time_porch() -> float:
    """Every drying question of the porch, as the packet asks them, after warm-up. [s]"""
    job = read_job(PORCH.read_text("utf-8"))
    drying_of(job)
    begin = time.perf_counter()
    drying_of(job)
    elapsed = time.perf_counter() - begin
    worked = best_of(3, lambda: drying_of(job))
    print(f"the porch: {len(job.dry)} spots: {elapsed:.2f} s elapsed, {worked:.2f} s of processor")
    return min(elapsed, worked)


def main() -> int:
    """Measure, print, and say whether the targets are met."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--draws", type=int, default=64)
    parser.add_argument("--stiff-hours", type=int, default=72)
    chosen = parser.parse_args()
    climate = hourly_climate(place("new-york-ny"))
    year = time_year(climate)
    times = time_stiff(climate, chosen.stiff_hours)
    band = time_band(climate, chosen.draws)
    porch = time_porch()
    met = year < YEAR_S and times >= TIMES_STIFF and band < BAND_S and porch < PORCH_S
    print("targets met" if met else "a target is missed")
    return 0 if met else 1


if __name__ == "__main__":
    sys.exit(main())
