"""Bars: against a reference optimiser, and what every plan must keep."""

from __future__ import annotations

import math
from collections import Counter
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx
from scipy.optimize import Bounds, LinearConstraint, milp

from weatherlap.errors import InputError, NoSolution
from weatherlap.takeoff.cutting.bars import plan_bars
from weatherlap.takeoff.cutting.covering import Effort, cover
from weatherlap.takeoff.cutting.knapsack import (
    Holder,
    Sizes,
    TooManyError,
    best_fills,
    near_fills,
)
from weatherlap.takeoff.cutting.model import BarPiece, BarStock, CutRules, Way
from weatherlap.takeoff.cutting.totals import least_total, total_below

SHEAR = CutRules(0.0, Way.SHEAR)

pieces_of = st.lists(
    st.tuples(st.integers(16, 16 * 100), st.integers(1, 6)), min_size=1, max_size=6
)


def pieces(rows):
    """Pieces from (sixteenths, count)."""
    return tuple(BarPiece(f"p{n}", size / 16, count) for n, (size, count) in enumerate(rows))


def assignment_cost(rows, stock):
    """Least cost by the plain model: which piece comes from which bar. (widths, kerf included)"""
    widths = [w for w, count in rows for _ in range(count)]
    bars = [(room, cost) for room, cost in stock for _ in range(len(widths))]
    n, m = len(widths), len(bars)
    costs = np.concatenate([np.zeros(n * m), [cost for _, cost in bars]])
    once = np.zeros((n, n * m + m))
    room = np.zeros((m, n * m + m))
    for i, j in product(range(n), range(m)):
        once[i, i * m + j] = 1
        room[j, i * m + j] = widths[i]
    for j in range(m):
        room[j, n * m + j] = -bars[j][0]
    result = milp(
        costs,
        constraints=[LinearConstraint(once, 1, 1), LinearConstraint(room, -np.inf, 0)],
        integrality=np.ones(n * m + m),
        bounds=Bounds(0, 1),
    )
    assert result.status == 0
    return round(result.fun)


@settings(max_examples=25)
@given(
    st.lists(st.tuples(st.integers(20, 100), st.integers(1, 2)), min_size=1, max_size=4),
    st.lists(st.tuples(st.integers(100, 220), st.integers(5, 40)), min_size=1, max_size=2),
)
def test_cost_is_that_of_a_reference_optimiser(rows, stock):
    """Covering by fills costs what assigning each piece to a bar costs, and is proven."""
    counts: Counter[int] = Counter()
    for width, count in rows:
        counts[width] += count
    widths = sorted(counts)
    found = cover(
        Sizes(tuple(widths), tuple(counts[w] for w in widths)),
        holders=tuple(Holder(room, cost, len(widths)) for room, cost in stock),
    )
    assert found.proven
    assert found.cost == assignment_cost(rows, stock)


@settings(max_examples=40)
@given(pieces_of, st.floats(0.01, 0.25), st.sampled_from([0.0, 0.5, 1.0]))
def test_every_plan_can_be_sawn(rows, kerf, trim):
    """Each piece is cut once, each bar holds its pieces with kerfs, marks follow each other."""
    wanted = pieces(rows)
    stock = (BarStock("8", 96, 9.0), BarStock("12", 144, 12.5), BarStock("rest", 110, 0.0, 1))
    rules = CutRules(kerf, end_trim_in=trim)
    plan = plan_bars(wanted, stock=stock, rules=rules)
    cut = Counter(one for bar in plan.bars for one in bar.piece_ids * bar.times)
    assert cut == {p.id: p.count for p in wanted}
    for bar in plan.bars:
        used = sum(bar.lengths_in) + kerf * (len(bar.lengths_in) - 1)
        assert used <= bar.stock_in - 2 * trim + 1e-6
        ends = [sum(bar.lengths_in[: n + 1]) + n * kerf for n in range(len(bar.lengths_in))]
        assert bar.marks_in == approx(ends)
        assert list(bar.lengths_in) == sorted(bar.lengths_in, reverse=True)
        assert bar.leftover_in >= 0
        assert bar.keep is (bar.leftover_in >= 24)
    assert sum(bar.times for bar in plan.bars if bar.stock_id == "rest") <= 1
    assert plan.least_usd <= plan.cost_usd + 1e-9
    assert plan.count == sum(bar.times for bar in plan.bars)


@settings(max_examples=40)
@given(pieces_of)
def test_no_long_bar_is_used_where_a_short_one_serves(rows):
    """No bar could be had shorter for the same price or less."""
    stock = (BarStock("8", 96, 10.0), BarStock("12", 144, 10.0), BarStock("16", 192, 14.0))
    plan = plan_bars(pieces(rows), stock=stock, rules=CutRules())
    for bar in plan.bars:
        used = bar.marks_in[-1]
        assert not any(
            s.length_in >= used and s.length_in < bar.stock_in and s.price_usd <= bar.price_usd
            for s in stock
        )


def test_leftovers_on_hand_are_used_first():
    """A free leftover that serves is used before new stock is bought."""
    stock = (BarStock("12", 144, 12.0), BarStock("left", 50, 0.0, 2))
    plan = plan_bars((BarPiece("a", 45, 3),), stock=stock, rules=CutRules())
    assert Counter({b.stock_id: b.times for b in plan.bars}) == {"left": 2, "12": 1}
    assert plan.cost_usd == 12.0
    assert plan.proven


def test_a_kerf_can_cost_a_bar():
    """Three pieces of a third of the stock fit without kerf and do not with it."""
    stock = (BarStock("12", 144, 10.0),)
    three = (BarPiece("a", 48, 3),)
    assert plan_bars(three, stock=stock, rules=SHEAR).count == 1
    assert plan_bars(three, stock=stock, rules=CutRules(1 / 8)).count == 2


def test_the_last_cut_may_be_saved():
    """A piece that ends flush with the stock needs no kerf after it."""
    stock = (BarStock("b", 100, 1.0),)
    plan = plan_bars((BarPiece("a", 49.9375, 2),), stock=stock, rules=CutRules(1 / 8))
    assert plan.count == 1
    assert plan.bars[0].leftover_in == 0


def test_without_prices_the_length_is_made_least():
    """With no price above 0 the plan uses the least length, and says so."""
    stock = (BarStock("8", 96, 0.0), BarStock("10", 120, 0.0))
    plan = plan_bars((BarPiece("a", 58, 4),), stock=stock, rules=CutRules())
    assert plan.least_usd is None
    assert plan.stock_in == plan.least_stock_in == 240
    assert plan.proven


def test_what_is_left_is_gathered():
    """Of plans of one cost the longest leftover is kept long."""
    stock = (BarStock("b", 100, 5.0),)
    plan = plan_bars((BarPiece("long", 60, 2), BarPiece("short", 20, 2)), stock=stock, rules=SHEAR)
    assert plan.count == 2
    assert max(bar.leftover_in for bar in plan.bars) == 40


def test_no_gap_says_proven_and_a_gap_is_printed():
    """The words beside a plan are the proof, or how much could be saved at most."""
    stock = (BarStock("b", 100, 5.0),)
    plan = plan_bars((BarPiece("a", 60, 2),), stock=stock, rules=SHEAR)
    assert plan.bound_words() == "Proven: no plan costs less."
    rng = np.random.default_rng(5)
    rows = tuple(
        BarPiece(f"p{n}", float(x)) for n, x in enumerate(rng.integers(200, 1700, 60) / 16)
    )
    many = tuple(BarStock(f"{x}", x, p) for x, p in ((144, 11.97), (192, 15.89), (240, 22.49)))
    rough = plan_bars(rows, stock=many, rules=CutRules(), effort=Effort(0.05, 1, 10))
    assert 0 < rough.gap < 0.05
    assert f"{100 * rough.gap:.1f} % could be saved" in rough.bound_words()


@pytest.mark.parametrize(
    ("make", "words"),
    [
        pytest.param(lambda: CutRules(0.0), r"0\".*say that it is sheared", id="zero-kerf"),
        pytest.param(lambda: CutRules(-0.1), "kerf", id="negative-kerf"),
        pytest.param(lambda: CutRules(0.1, Way.SHEAR), "where it is sheared", id="shear-kerf"),
        pytest.param(lambda: CutRules(math.nan), "kerf", id="nan-kerf"),
        pytest.param(lambda: BarPiece("a", -3), "piece a: -3", id="negative-piece"),
        pytest.param(lambda: BarPiece("a", 3, 0), "count of a: 0; expected a whole", id="no-count"),
        pytest.param(lambda: BarPiece("a", 3, 10**9), "whole number from 1 to 5000", id="absurd"),
        pytest.param(lambda: BarPiece("a", 3, 1.5), "1.5", id="half-a-piece"),
        pytest.param(lambda: BarStock("s", 0, 1), "stock s", id="no-length"),
        pytest.param(lambda: BarStock("s", 96, -1), "price of s", id="negative-price"),
    ],
)
def test_absurd_input_is_refused(make, words):
    """Sizes, counts, kerfs and prices that cannot be are refused by name."""
    with pytest.raises(InputError, match=words):
        make()


def test_a_piece_longer_than_all_stock_offers_the_split():
    """Stock shorter than a piece says so, with the number of pieces to make it of."""
    stock = (BarStock("12", 144, 10.0),)
    with pytest.raises(InputError, match=r"piece a: 25', longer than all stock.*of 3 or more"):
        plan_bars((BarPiece("a", 300),), stock=stock, rules=CutRules())
    with pytest.raises(InputError, match="at least one piece"):
        plan_bars((), stock=stock, rules=CutRules())
    with pytest.raises(InputError, match="at least one length"):
        plan_bars((BarPiece("a", 3),), stock=(), rules=CutRules())
    with pytest.raises(InputError, match="'a' twice"):
        plan_bars((BarPiece("a", 3), BarPiece("a", 4)), stock=stock, rules=CutRules())


def test_too_little_stock_has_no_plan():
    """Pieces that the stock on hand cannot give end in no plan, not in a wrong one."""
    with pytest.raises(NoSolution, match="add stock"):
        plan_bars((BarPiece("a", 100, 3),), stock=(BarStock("b", 144, 1.0, 2),), rules=CutRules())


@settings(max_examples=50)
@given(
    st.lists(st.tuples(st.integers(2, 9), st.integers(1, 3), st.integers(1, 20)), min_size=1,
             max_size=4, unique_by=lambda row: row[0]),
    st.integers(5, 25),
)  # fmt: skip
def test_best_and_near_fills_are_those_of_counting_them_all(rows, room):
    """The best fill, and every full fill near it, are what listing all fills gives."""
    rows = sorted(rows)
    sizes = Sizes(tuple(r[0] for r in rows), tuple(r[1] for r in rows))
    worth = np.array([float(r[2]) for r in rows])
    holder = Holder(room, 1, len(rows))
    every = [
        fill
        for fill in product(*(range(c + 1) for c in sizes.counts))
        if sum(f * w for f, w in zip(fill, sizes.widths, strict=True)) <= room
    ]
    best = max(float(worth @ np.array(fill)) for fill in every)
    ((value, fill),) = best_fills(worth, sizes=sizes, holders=(holder,), counts=sizes.counts)
    assert value == approx(best)
    assert fill in every
    near = near_fills(worth, sizes=sizes, holder=holder, least=best - 5, most=1000)
    full = {
        one
        for one in every
        if float(worth @ np.array(one)) >= best - 5 - 1e-9
        and all(
            one[n] == sizes.counts[n]
            or sum(f * w for f, w in zip(one, sizes.widths, strict=True)) + sizes.widths[n] > room
            for n in range(len(rows))
        )
    }
    assert set(near) == full


def test_too_many_fills_stop_the_listing():
    """The listing gives up rather than fill the memory."""
    sizes = Sizes(tuple(range(1, 12)), (9,) * 11)
    with pytest.raises(TooManyError):
        near_fills(np.ones(11), sizes=sizes, holder=Holder(60, 1, 11), least=0.0, most=50)


def test_totals_are_those_that_prices_add_up_to():
    """A bound rises to the next total that prices can make; the target lies below the cost."""
    holders = (Holder(1, 300, 0), Holder(1, 500, 0))
    assert least_total(401.0, holders) == 500
    assert least_total(500.0, holders) == 500
    assert least_total(701.0, holders) == 800
    assert total_below({(0, ()): 1, (1, ()): 1}, holders) == 600
    assert total_below(None, holders) is None


def test_solving_prints_nothing(capfd):
    """Cutting leaves standard output alone, so that it can carry JSON."""
    rng = np.random.default_rng(11)
    for case in range(6):
        rows = tuple(
            BarPiece(f"p{n}", float(x), int(c))
            for n, (x, c) in enumerate(
                zip(rng.integers(150, 1500, 12) / 16, rng.integers(1, 9, 12), strict=True)
            )
        )
        stock = tuple(BarStock(f"{x}", x, p) for x, p in ((144, 11.97), (192, 15.89), (240, 22.49)))
        plan_bars(
            rows, stock=stock[: 1 + case % 3], rules=CutRules(), effort=Effort(1.0, 500, 3000)
        )
    assert capfd.readouterr().out == ""


def test_the_same_pieces_give_the_same_plan():
    """A plan is a value: asking twice gives the same bars."""
    rows = pieces([(700, 5), (433, 7), (290, 4), (1201, 3)])
    stock = (BarStock("12", 144, 11.5), BarStock("16", 192, 15.9))
    one = plan_bars(rows, stock=stock, rules=CutRules())
    assert one == plan_bars(rows, stock=stock, rules=CutRules())


def test_a_bar_that_came_free_serves_another_load():
    """Three pieces of 26 in go on the leftover of 80 in, not on the one of 100 in.

    The first look finds the 80 in taken; it comes free when its load moves to a shorter one.
    """
    stock = (
        BarStock("left 60", 60.0, 0.0, 1), BarStock("left 80", 80.0, 0.0, 1),
        BarStock("left 100", 100.0, 0.0, 1), BarStock("new", 192.0, 20.0),
    )  # fmt: skip
    for count in (1, 2, 3):
        rows = (BarPiece("short", 26.0, count), BarPiece("one", 50.0, 1))
        plan = plan_bars(rows, stock=stock, rules=CutRules())
        used = {bar.stock_id for bar in plan.bars}
        for bar in plan.bars:
            for other in stock:
                fits = bar.marks_in[-1] <= other.length_in < bar.stock_in
                assert not (fits and other.price_usd <= bar.price_usd and other.id not in used)
