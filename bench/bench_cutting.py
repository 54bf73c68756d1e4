"""How fast cutting plans are proven, and how much memory they take.

Run: python bench/bench_cutting.py [--cases 24]
Prints one line a measure; exits 1 if a target is missed. For an idle machine.
"""

from __future__ import annotations

import argparse
import resource
import statistics
import sys
import time

import numpy as np

from weatherlap.job.reading import read_job
from weatherlap.run.shopping import shop_job
from weatherlap.sources.goods import Good, own_goods
from weatherlap.takeoff.cutting.bars import plan_bars
from weatherlap.takeoff.cutting.coil import Coil, CoilRules, Strip, plan_coil
from weatherlap.takeoff.cutting.model import BarPiece, BarPlan, BarStock, CutRules
from weatherlap.takeoff.cutting.rolls import Covered, Roll, RollRules, plan_rolls
from weatherlap.takeoff.cutting.sheets import SheetPiece, SheetStock, plan_sheets

MEDIAN_S, SHOP_S, MEMORY_MB = 2.0, 3.0, 500.0
ITEMS = 120
ONE = (BarStock("12 ft", 144.0, 11.97),)
THREE = (*ONE, BarStock("16 ft", 192.0, 15.89), BarStock("20 ft", 240.0, 22.49))


def bar_case(seed: int, *, sizes: int, stocks: tuple[BarStock, ...]) -> tuple[float, BarPlan]:
    """Seconds and plan of 120 pieces drawn from some sizes to the sixteenth."""
    chance = np.random.default_rng(seed)
    lengths = chance.choice(np.arange(10 * 16, 140 * 16), sizes, replace=False) / 16
    drawn = chance.choice(lengths, ITEMS)
    pieces = tuple(
        BarPiece(f"{length}", float(length), int((drawn == length).sum()))
        for length in sorted(set(drawn.tolist()))
    )
    begin = time.perf_counter()
    plan = plan_bars(pieces, stock=stocks, rules=CutRules())
    return time.perf_counter() - begin, plan


def bars(cases: int) -> float:
    """The median over families from 8 to 120 sizes, one stock length and three."""
    seconds: list[float] = []
    for stocks in (ONE, THREE):
        for sizes in (8, 16, 32, 64, 120):
            found = [bar_case(seed, sizes=sizes, stocks=stocks) for seed in range(cases)]
            took = [s for s, _ in found]
            proven = sum(plan.proven for _, plan in found)
            gap = max(plan.gap for _, plan in found)
            print(
                f"{ITEMS} pieces of up to {sizes} sizes, {len(stocks)} stock: median "
                f"{statistics.median(took):.2f} s, worst {max(took):.2f} s, "
                f"{proven} of {cases} proven, largest gap {100 * gap:.2f} %"
            )
            seconds += took
    return statistics.median(seconds)


def lengths_of(good: Good) -> tuple[BarStock, ...]:
    """Every length that a good is sold in."""
    return tuple(
        BarStock(f"{good.id} {length:g}", length, good.usd * length / 12)
        for length in good.lengths_in
    )


def shop() -> float:
    """A corner's whole shop: coil, lumber, channel, siding, sheathing, housewrap."""
    goods = own_goods().good
    wraps = [g for g in goods.values() if "housewrap" in g.makes]
    strips = (
        Strip("fascia", 7.54, 126, 6), Strip("beam", 23.5, 200, 2), Strip("drip", 3.25, 120, 9),
        Strip("jamb", 5.0, 82, 8), Strip("head", 6.5, 40, 4), Strip("sill", 8.25, 44, 4),
    )  # fmt: skip
    lumber = tuple(
        BarPiece(f"l{n}", length, count)
        for n, (length, count) in enumerate([(92.625, 14), (34.5, 8), (127, 4), (14.5, 22)])
    )
    siding = tuple(BarPiece(f"s{n}", 40 + 7.25 * n, 4) for n in range(12))
    sheets = (SheetPiece("a", 48, 60, 3), SheetPiece("b", 22.5, 40, 5), SheetPiece("c", 16, 30, 6))
    coil = Coil("coil", 600, goods["coil-aluminium-24"].usd)
    begin = time.perf_counter()
    plan_coil(strips, coils=(coil,), rules=CoilRules(24, 126))
    plan_bars(lumber, stock=lengths_of(goods["lumber-2x4"]), rules=CutRules())
    plan_bars(siding, stock=lengths_of(goods["vinyl-double-4"]), rules=CutRules())
    plan_sheets(sheets, stock=(SheetStock("osb", 48, 96, goods["osb-4x8"].usd),), rules=CutRules())
    rolls = tuple(Roll(g.id, g.width_in, g.length_in, g.usd) for g in wraps)
    plan_rolls((Covered("wall", 400, 220, 12),), rolls=rolls, rules=RollRules())
    return time.perf_counter() - begin


def siding() -> float:
    """Two walls and a gable of siding: joints chosen with the boards. [s]"""
    walls = [((0, 0), (wide, 0), (wide, 120), (0, 120)) for wide in (300, 410)]
    walls.append(((0, 0), (288, 0), (288, 12), (144, 108), (0, 12)))
    rows = ['[job]\ntitle = "siding"\n']
    for n, corners in enumerate(walls):
        outline = [list(corner) for corner in corners]
        rows.append(
            f'[[face]]\nid = "f{n}"\nfacing = {90 * n}\ntilt = 90\norigin = [{1000 * n}, 0, 0]\n'
            f'outline = {outline}\n[[piece]]\nid = "s{n}"\nwhat = "fibre-cement-siding"\n'
            f'on = [{{ face = "f{n}", outline = {outline} }}]\n'
            f'[[change]]\ndo = "replace"\npiece = "s{n}"\n'
        )
    job = read_job("".join(rows))
    begin = time.perf_counter()
    (cut, *_) = shop_job(job).cut
    taken = time.perf_counter() - begin
    said = "proven" if cut.joints_proven else "not proven"
    print(f"siding of two walls and a gable: {taken:.2f} s (target {SHOP_S:g}), {said}")
    return taken


def main() -> int:
    """Run the measures; 1 if a target is missed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--cases", type=int, default=6, help="instances of each family")
    cases = parser.parse_args().cases
    whole = shop()
    print(f"whole shop of a corner: {whole:.2f} s (target {SHOP_S:g})")
    whole = max(whole, siding())
    median = bars(cases)
    print(f"{ITEMS} pieces, median of all: {median:.2f} s (target {MEDIAN_S:g})")
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"peak memory: {memory:.0f} MB (target {MEMORY_MB:g})")
    return int(whole > SHOP_S or median > MEDIAN_S or memory > MEMORY_MB)


if __name__ == "__main__":
    sys.exit(main())
