"""The frame solver against closed forms and against a second solver."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from weatherlap.structure.frame import GROUND, Bars, CaseLoads, Frame, FrameSolver, Springs

E = 1.6e6
I_STRONG = 98.93
K = 1e9


def straight(places, springs, *, area=13.875):
    """A level beam along x with nodes at the places and the springs given."""
    n = len(places) - 1
    ones = np.ones(n)
    bars = Bars(
        np.arange(n), np.arange(1, n + 1), ones * area, ones * I_STRONG, ones * 2.6, ones * 9.0,
        ones * E, ones * E / 16, np.tile([0.0, 0.0, 1.0], (n, 1)),
    )  # fmt: skip
    rows = np.array(springs, dtype=float)
    return Frame(
        np.array([(x, 0.0, 0.0) for x in places]), bars,
        Springs(
            rows[:, 0].astype(int), rows[:, 1].astype(int), rows[:, 2].astype(int), rows[:, 3],
            rows[:, 4].astype(bool), rows[:, 5],
        ),
    )  # fmt: skip


def on_posts(places, held, *, one_way, offsets=None):
    """A beam that rests on the held nodes and is kept from sliding and rolling."""
    offsets = offsets or {}
    springs = [(i, GROUND, 2, K, one_way, offsets.get(i, 0.0)) for i in held]
    springs += [(i, GROUND, 1, K, 0, 0) for i in held]
    springs += [(held[0], GROUND, 0, K, 0, 0), (held[0], GROUND, 3, K, 0, 0)]
    return straight(places, springs)


def spread(frame, lb_per_in, bars=None):
    """A load straight down along some bars."""
    n = len(frame.bars.start)
    bar = np.zeros((n, 2, 3))
    bar[slice(None) if bars is None else bars, :, 2] = -lb_per_in
    return CaseLoads(np.zeros((len(frame.nodes_in), 6)), bar)


def test_three_even_spans_share_as_the_closed_form_says():
    """Three even spans under an even load: 0.4, 1.1, 1.1, 0.4 of one span's load."""
    frame = on_posts([0, 120, 240, 360], [0, 1, 2, 3], one_way=False)
    solved = FrameSolver(frame).solve(spread(frame, 10.0))
    assert solved.spring_force[:4] / 1200 == pytest.approx([0.4, 1.1, 1.1, 0.4], rel=1e-5)


def test_a_post_that_would_pull_lets_go():
    """Loaded on two of three spans, the far post carries nothing; the rest is a two-span beam."""
    frame = on_posts([0, 120, 240, 360], [0, 1, 2, 3], one_way=True)
    solved = FrameSolver(frame).solve(spread(frame, 10.0, slice(0, 2)))
    assert solved.spring_force[:4] == pytest.approx([450.0, 1500.0, 450.0, 0.0], abs=0.01)


def test_fixed_beam_end_moment_and_sag():
    """Both ends fixed: end moment w L2 / 12, middle sag w L4 / (384 E I)."""
    springs = [(i, GROUND, f, 1e12, 0, 0) for i in (0, 2) for f in range(6)]
    frame = straight([0, 60, 120], springs)
    solved = FrameSolver(frame).solve(spread(frame, 10.0))
    assert abs(solved.end_force[0, 4]) == pytest.approx(10 * 120**2 / 12, rel=1e-5)
    sag = -solved.moves[1, 2]
    assert sag == pytest.approx(10 * 120**4 / (384 * E * I_STRONG), rel=1e-4)


def test_a_settled_middle_post_gives_its_load_to_the_ends():
    """Two even spans, middle post settled by s: it loses 48 E I s / (2 L)3."""
    settled = 0.05
    level = on_posts([0, 120, 240], [0, 1, 2], one_way=True)
    sunk = on_posts([0, 120, 240], [0, 1, 2], one_way=True, offsets={1: -settled})
    before = FrameSolver(level).solve(spread(level, 10.0)).spring_force[1]
    after = FrameSolver(sunk).solve(spread(sunk, 10.0)).spring_force[1]
    assert before - after == pytest.approx(48 * E * I_STRONG * settled / 240**3, rel=1e-4)


def test_a_gap_carries_nothing_until_it_closes():
    """A middle post short by more than the free sag carries nothing; by less, it bears."""
    free_sag = 5 * 10 * 240**4 / (384 * E * I_STRONG)
    for gap, bears in ((1.02 * free_sag, False), (0.98 * free_sag, True)):
        frame = on_posts([0, 120, 240], [0, 1, 2], one_way=True, offsets={1: -gap})
        force = FrameSolver(frame).solve(spread(frame, 10.0)).spring_force[1]
        assert bool(force > 0) is bears


def test_a_beam_on_one_post_is_loose():
    """A beam that nothing stops from tipping is reported by its nodes."""
    frame = on_posts([0, 120, 240], [0], one_way=True)
    assert FrameSolver(frame).solve(spread(frame, 10.0)).loose


def test_a_bar_in_two_halves_is_the_same_bar():
    """Splitting a bar under a trapezoidal load changes nothing at its ends."""
    whole = on_posts([0, 200], [0, 1], one_way=False)
    halves = on_posts([0, 80, 200], [0, 2], one_way=False)
    one = spread(whole, 0.0)
    one.bar[0, :, 2] = (-4.0, -14.0)
    two = spread(halves, 0.0)
    two.bar[0, :, 2], two.bar[1, :, 2] = (-4.0, -8.0), (-8.0, -14.0)
    a, b = FrameSolver(whole).solve(one), FrameSolver(halves).solve(two)
    assert a.spring_force[:2] == pytest.approx(b.spring_force[:2], rel=1e-6)
    assert a.moves[-1] == pytest.approx(b.moves[-1], abs=1e-7)


@settings(max_examples=25, deadline=None)
@given(
    st.lists(st.floats(20.0, 200.0), min_size=2, max_size=6),
    st.integers(0, 2**32 - 1),
)
def test_posts_carry_what_lies_on_them_and_never_pull(lengths, seed):
    """Reactions add up to the load, none pulls, and no open post has closed its gap."""
    rng = np.random.default_rng(seed)
    places = [0.0, *np.cumsum(lengths)]
    held = list(range(len(places)))
    offsets = {i: float(v) for i, v in zip(held, rng.uniform(-0.3, 0.3, len(held)), strict=True)}
    frame = on_posts(places, held, one_way=True, offsets=offsets)
    loads = spread(frame, 0.0)
    loads.bar[:, :, 2] = -rng.uniform(1.0, 20.0, (len(lengths), 2))
    solved = FrameSolver(frame).solve(loads)
    total = float(-(loads.bar[:, :, 2].mean(axis=1) * lengths).sum())
    push = solved.spring_force[: len(held)]
    assert push.sum() == pytest.approx(total, rel=1e-6, abs=1e-3)
    assert push.min() >= 0.0
    slack = np.array([offsets[i] for i in held])
    gap = solved.moves[:, 2] - slack
    assert np.all((push > 0) | (gap >= -1e-6))


def random_frame(rng, floors, bays):
    """A skew space frame on fixed feet with loads at random."""
    nodes, index = [], {}
    for k in range(floors + 1):
        for i in range(bays + 1):
            for j in range(2):
                index[i, j, k] = len(nodes)
                shake = rng.uniform(-6, 6, 3) * (k > 0)
                nodes.append(np.array([i * 110.0, j * 90.0, k * 100.0]) + shake)
    pairs = []
    for (i, j, k), n in index.items():
        for step in ((1, 0, 0), (0, 1, 0), (0, 0, 1)):
            other = index.get((i + step[0], j + step[1], k + step[2]))
            if other is not None and not (k == 0 and step[2] == 0):
                pairs.append((n, other))
    feet = [n for (i, j, k), n in index.items() if k == 0]
    return np.array(nodes), pairs, feet


def test_random_space_frames_agree_with_a_second_solver():
    """Moves and reactions of skew space frames agree with PyNiteFEA to a part in 100,000."""
    from Pynite import FEModel3D  # slow to load, and only this test needs it

    for seed in range(3):
        rng = np.random.default_rng(seed)
        nodes, pairs, feet = random_frame(rng, 2, 2)
        n = len(pairs)
        area, strong, weak, torsion = rng.uniform(5, 30, (4, n))
        starts, ends = np.array(pairs).T
        axis = nodes[ends] - nodes[starts]
        upright = np.abs(axis[:, 2]) > 0.9 * np.linalg.norm(axis, axis=1)
        depth = np.where(upright[:, None], [1.0, 0.0, 0.0], [0.0, 0.0, 1.0])
        ones = np.ones(n)
        bars = Bars(starts, ends, area, strong, weak, torsion, ones * E, ones * E / 16, depth)
        rows = [(f, d) for f in feet for d in range(6)]
        springs = Springs(
            np.array([r[0] for r in rows]), np.full(len(rows), GROUND),
            np.array([r[1] for r in rows]), np.full(len(rows), 1e13),
            np.zeros(len(rows), dtype=bool), np.zeros(len(rows)),
        )  # fmt: skip
        point = rng.uniform(-500, 500, (len(nodes), 3))
        bar = np.zeros((n, 2, 3))
        bar[:, :, 2] = rng.uniform(-10, 0, (n, 2))
        node = np.zeros((len(nodes), 6))
        node[:, :3] = point
        ours = FrameSolver(Frame(nodes, bars, springs)).solve(CaseLoads(node, bar))

        model = FEModel3D()
        model.add_material("wood", E, E / 16, 0.3, 0.0)
        for k, place in enumerate(nodes):
            model.add_node(f"n{k}", *place)
            for d, value in zip(("FX", "FY", "FZ"), point[k], strict=True):
                model.add_node_load(f"n{k}", d, value)
        for f in feet:
            model.def_support(f"n{f}", *[True] * 6)
        for k, (a, b) in enumerate(pairs):
            model.add_section(f"s{k}", area[k], strong[k], weak[k], torsion[k])
            model.add_member(f"m{k}", f"n{a}", f"n{b}", "wood", f"s{k}")
            x, _, z0 = model.members[f"m{k}"].T()[:3, :3]
            z = depth[k] - (depth[k] @ x) * x
            turn = np.arctan2(np.cross(z0, z) @ x, z0 @ z)
            model.members[f"m{k}"].rotation = float(np.degrees(turn))
            model.add_member_dist_load(f"m{k}", "FZ", bar[k, 0, 2], bar[k, 1, 2])
        model.analyze_linear()
        theirs = np.array(
            [
                [getattr(model.nodes[f"n{k}"], d)["Combo 1"] for d in ("DX", "DY", "DZ")]
                for k in range(len(nodes))
            ]
        )
        scale = np.abs(theirs).max()
        assert np.abs(ours.moves[:, :3] - theirs).max() < 1e-5 * scale
        up = sum(model.nodes[f"n{f}"].RxnFZ["Combo 1"] for f in feet)
        ours_up = ours.spring_force[[k for k, r in enumerate(rows) if r[1] == 2]].sum()
        assert ours_up == pytest.approx(up, rel=1e-6)
