"""How long the structure room takes: a 30-member corner, the position search, 1,000 members.

Run: python bench/bench_structure.py
Prints one line a measure; exits 1 if a target is missed.
"""

from __future__ import annotations

import importlib.util
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

from weatherlap.job.reading import read_job
from weatherlap.papers.shoringpapers import bind
from weatherlap.structure.frame import GROUND, Bars, CaseLoads, Frame, FrameSolver, Springs
from weatherlap.structure.holding import hold_up
from weatherlap.structure.model import (
    Case,
    Framing,
    Hold,
    Joint,
    LineLoad,
    Member,
    Stock,
    Support,
    Use,
)
from weatherlap.structure.shore_model import Blocked, ShoreAsk, ShoreLine
from weatherlap.structure.shoring import propose_shoring
from weatherlap.structure.sills import Ground, GroundKind

STAGES_S, SEARCH_S, FRAME_S, PORCH_S = 1.0, 5.0, 5.0, 2.0
BEAM = Stock(1.5, 9.25, 2, "SPF", "No.2")
NEW = Stock(1.5, 9.25, 2, "SP", "No.2")
POST = Stock(5.5, 5.5, 1, "SP", "No.2")
RAFTER = Stock(1.5, 5.5, 1, "SPF", "No.2")
CASES = ((Case.DEAD, 30.0), (Case.ROOF_LIVE, 40.0), (Case.SNOW, 42.0), (Case.WIND_UP, -40.0))


def corner(rafters: int = 16) -> tuple[Framing, frozenset[str]]:
    """A porch corner: rafters at 12 in on an old beam and its successor, over three posts."""
    length = 12.0 * (rafters - 1) + 6.0
    members = [
        Member("beam", Use.BEAM, (-3, 0, 96), (length, 0, 96), BEAM),
        Member("new", Use.BEAM, (-3, 0, 96), (length, 0, 96), NEW),
    ]
    joints, supports, loads = [], [], []
    for k, x in enumerate((0.0, length / 2, length - 3.0), 1):
        members.append(Member(f"p{k}", Use.POST, (x, 0, 0), (x, 0, 91), POST))
        supports.append(Support(f"f{k}", f"p{k}", (x, 0, 0), Hold.TIED, 0, 5.5, 5.5))
        joints += [
            Joint(f"{b}-p{k}", b, f"p{k}", (x, 0, 91), Hold.TIED, 0, 5.5, 3.0)
            for b in ("beam", "new")
        ]
    for k in range(rafters):
        x, name = 12.0 * k, f"r{k}"
        members.append(
            Member(name, Use.RAFTER, (x, 96, 120), (x, -12, 102), RAFTER, repetitive=True,
                   unbraced_in=0)
        )  # fmt: skip
        supports.append(Support(f"h{k}", name, (x, 96, 120), Hold.PINNED, 0, 1.5, 1.5))
        joints += [
            Joint(f"{name}-{b}", name, b, (x, 0, 104), Hold.TIED, 0, 3.0, 1.5)
            for b in ("beam", "new")
        ]
        loads += [LineLoad(name, case, w / 2, w / 2) for case, w in CASES]
    framing = Framing(tuple(members), tuple(joints), tuple(supports), tuple(loads))
    return framing, frozenset(m.id for m in members) - {"new"}


def shore_ask(length: float, rafters: int) -> ShoreAsk:
    """Three lines to choose from, with the door in the way."""
    soil = (Ground(GroundKind.SOIL, 0, length, soil="clay or silt"),)
    lines = tuple(
        ShoreLine(f"{y} in back", (0, y), (length, y), soil, (Blocked(80, 110, "door"),))
        for y in (18, 24, 30)
    )
    return ShoreAsk("shore", lines, tuple(f"r{k}" for k in range(rafters)), ("beam",), ("new",))


def big_frame(bays: int = 13) -> tuple[Frame, CaseLoads]:
    """A space frame of about 1,000 bars on fixed feet."""
    index = {
        (i, j, k): n
        for n, (i, j, k) in enumerate(
            (i, j, k) for i in range(bays) for j in range(bays) for k in range(3)
        )
    }
    nodes = np.array([(100.0 * i, 100.0 * j, 100.0 * k) for i, j, k in index])
    pairs = [
        (n, index[other])
        for (i, j, k), n in index.items()
        for other in ((i + 1, j, k), (i, j + 1, k), (i, j, k + 1))
        if other in index and not (k == 0 and other[2] == 0)
    ]
    starts, ends = np.array(pairs).T
    upright = nodes[starts][:, 2] != nodes[ends][:, 2]
    depth = np.where(upright[:, None], [1.0, 0.0, 0.0], [0.0, 0.0, 1.0])
    ones = np.ones(len(pairs))
    bars = Bars(starts, ends, ones * 30, ones * 200, ones * 60, ones * 40, ones * 1.6e6,
                ones * 1e5, depth)  # fmt: skip
    feet = [n for (_, _, k), n in index.items() if k == 0]
    rows = [(f, d) for f in feet for d in range(6)]
    springs = Springs(
        np.array([r[0] for r in rows]), np.full(len(rows), GROUND),
        np.array([r[1] for r in rows]), np.full(len(rows), 1e10),
        np.zeros(len(rows), dtype=bool), np.zeros(len(rows)),
    )  # fmt: skip
    loads = CaseLoads(np.zeros((len(nodes), 6)), np.zeros((len(pairs), 2, 3)))
    loads.bar[:, :, 2] = -5.0
    return Frame(nodes, bars, springs), loads


def second_solver(frame: Frame, loads: CaseLoads) -> float | None:
    """Time of a second solver on the same frame, if it is installed. [s]"""
    if importlib.util.find_spec("Pynite") is None:
        return None
    from Pynite import FEModel3D

    model = FEModel3D()
    model.add_material("wood", 1.6e6, 1e5, 0.3, 0.0)
    model.add_section("s", 30, 200, 60, 40)
    for k, place in enumerate(frame.nodes_in):
        model.add_node(f"n{k}", *place)
    for foot in sorted(set(frame.springs.a.tolist())):
        model.def_support(f"n{foot}", *[True] * 6)
    for k, (a, b) in enumerate(zip(frame.bars.start, frame.bars.end, strict=True)):
        model.add_member(f"m{k}", f"n{a}", f"n{b}", "wood", "s")
        model.add_member_dist_load(f"m{k}", "FZ", *loads.bar[k, :, 2])
    start = time.perf_counter()
    model.analyze_linear()
    return time.perf_counter() - start


def porch_corner() -> Callable[[], object]:
    """Everything that `weatherlap shore` works out of the demo, but for the typesetting."""
    text = (Path(__file__).parents[1] / "demo" / "porch-corner.toml").read_text("utf-8")
    job = read_job(text)
    return lambda: bind(job, own={}, on_the_way=lambda _: None)


def best_of(times: int, work: Callable[[], object]) -> float:
    """Shortest of some runs. [s]"""
    found = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        found.append(time.perf_counter() - start)
    return min(found)


def main() -> int:
    """Print the times; 1 if a target is missed."""
    rafters = 20
    framing, first = corner(rafters)
    ask = shore_ask(12.0 * rafters, rafters)
    plan = propose_shoring(framing, ask, first=first).plan
    count = len(plan.framing.members)
    stages = best_of(3, lambda: hold_up(plan.framing, plan.stages, first=first))
    print(f"all stages and checks, {count} members, {len(plan.stages)} stages: {stages:.2f} s")
    search = best_of(3, lambda: propose_shoring(framing, ask, first=first))
    print(f"support-position search, {len(ask.lines)} lines: {search:.2f} s")
    porch = best_of(3, porch_corner())
    print(f"the porch corner, from its job file to checks and drawings: {porch:.2f} s")
    frame, loads = big_frame()
    big = best_of(3, lambda: FrameSolver(frame).solve(loads))
    print(f"frame of {len(frame.bars.start)} bars: {big:.3f} s")
    other = second_solver(frame, loads)
    if other is not None:
        print(f"the same by the second solver: {other:.2f} s, {other / big:.0f} times as long")
    return int(stages > STAGES_S or search > SEARCH_S or big > FRAME_S or porch > PORCH_S)


if __name__ == "__main__":
    sys.exit(main())
