"""How fast bend orders are found or proven impossible.

Run: python bench/bench_metal.py [--cases 60]
Prints one line a measure; exits 1 if a target is missed. For an idle machine.
"""

from __future__ import annotations

import argparse
import resource
import statistics
import sys
import time

import numpy as np

from weatherlap.errors import InputError
from weatherlap.metal.model import Bend, Leg, Profile, Toward
from weatherlap.metal.orders import bend_order
from weatherlap.metal.partopen import part_open
from weatherlap.metal.tables import brakes, metals

WORST_S, MEMORY_MB = 1.0, 500.0
BENDS = 10
METAL, BRAKE = metals()["aluminum-019"], brakes()["example"]


def drawn(seed: int) -> Profile:
    """A profile of ten bends with drawn legs, angles and sides."""
    chance = np.random.default_rng(seed)
    legs = tuple(Leg(float(x)) for x in chance.choice([0.75, 1.0, 1.5, 2.0, 3.0], BENDS + 1))
    bends = tuple(
        Bend(float(angle), Toward.FINISH if up else Toward.BACK)
        for angle, up in zip(
            chance.choice([30, 45, 60, 90], BENDS), chance.integers(0, 2, BENDS), strict=True
        )
    )
    return Profile(f"drawn {seed}", legs, bends)


def hard() -> list[Profile]:
    """Profiles of which nearly every half-made state can be reached."""
    curl = Profile("curl", (Leg(1.6),) * 11, (Bend(8.0, Toward.FINISH),) * BENDS)
    waves = (Bend(30.0, Toward.BACK), Bend(30.0, Toward.FINISH)) * (BENDS // 2)
    return [curl, Profile("waves", (Leg(2.0),) * 11, waves)]


def main() -> int:
    """Run the measures; 1 if a target is missed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--cases", type=int, default=60, help="drawn profiles")
    cases = parser.parse_args().cases
    seconds, possible, opened = [], 0, [0.0]
    for profile in [*(drawn(seed) for seed in range(cases)), *hard()]:
        begin = time.perf_counter()
        try:
            plan = bend_order(profile, metal=METAL, brake=BRAKE)
        except InputError:
            continue
        seconds.append(time.perf_counter() - begin)
        possible += plan.possible
        if not plan.possible:
            begin = time.perf_counter()
            part_open(profile, metal=METAL, brake=BRAKE)
            opened.append(time.perf_counter() - begin)
    print(
        f"{BENDS} bends: {len(seconds)} profiles, {possible} possible; median "
        f"{statistics.median(seconds):.2f} s, worst {max(seconds):.2f} s (target {WORST_S:g})"
    )
    print(f"one bend left part-open where none exists: worst {max(opened):.2f} s more")
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"peak memory: {memory:.0f} MB (target {MEMORY_MB:g})")
    return int(max(seconds) > WORST_S or memory > MEMORY_MB)


if __name__ == "__main__":
    sys.exit(main())
