"""Sheets by edge-to-edge cuts: what every plan must keep, and its bound."""

from __future__ import annotations

import math
from collections import Counter
from functools import cache
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx

from weatherlap.errors import InputError, NoSolution
from weatherlap.takeoff.cutting.covering import Effort
from weatherlap.takeoff.cutting.guillotine import Rect, grid_of, pattern_of, worth_table
from weatherlap.takeoff.cutting.model import CutRules, Way
from weatherlap.takeoff.cutting.roundedsizes import edges_out, steps_down
from weatherlap.takeoff.cutting.sheets import SheetPiece, SheetStock, plan_sheets

SHEET = SheetStock("4x8", 48, 96, 28.0)
QUICK = Effort(1.0, 200, 500)


def can_be_cut(rects):
    """Whether placed rectangles (x0, y0, x1, y1) can be parted by edge-to-edge cuts."""
    if len(rects) <= 1:
        return True
    for low, high in ((0, 2), (1, 3)):
        for at in {r[high] for r in rects}:
            one = [r for r in rects if r[high] <= at + 1e-9]
            two = [r for r in rects if r[low] >= at - 1e-9]
            if one and two and len(one) + len(two) == len(rects):
                return can_be_cut(one) and can_be_cut(two)
    return False


pieces_of = st.lists(
    st.tuples(st.integers(6, 48), st.integers(6, 96), st.integers(1, 3), st.booleans()),
    min_size=1,
    max_size=5,
)


@settings(max_examples=25)
@given(pieces_of)
def test_every_plan_can_be_cut_edge_to_edge(rows):
    """Pieces are each cut once, apart by a kerf, on the sheet, by edge-to-edge cuts, grain kept."""
    pieces = tuple(SheetPiece(f"p{n}", w, h, c, t) for n, (w, h, c, t) in enumerate(rows))
    plan = plan_sheets(pieces, stock=(SHEET,), rules=CutRules(), effort=QUICK)
    cut = Counter(p.piece_id for sheet in plan.sheets for p in sheet.placed)
    assert cut == {p.id: p.count for p in pieces}
    by_id = {p.id: p for p in pieces}
    for sheet in plan.sheets:
        rects = []
        for p in sheet.placed:
            piece = by_id[p.piece_id]
            sides = (piece.length_in, piece.width_in) if p.turned else (
                piece.width_in, piece.length_in
            )  # fmt: skip
            assert (p.width_in, p.length_in) == sides
            assert piece.may_turn or not p.turned
            assert p.across_in + p.width_in <= 48 + 1e-9
            assert p.along_in + p.length_in <= 96 + 1e-9
            rects.append(
                (p.across_in, p.along_in, p.across_in + p.width_in, p.along_in + p.length_in)
            )
        for a, b in combinations(rects, 2):
            gap = max(b[0] - a[2], a[0] - b[2], b[1] - a[3], a[1] - b[3])
            assert gap >= 1 / 8 - 1e-9
        assert can_be_cut(rects)
        for one in sheet.cuts:
            assert 0 < one.at_in < (one.part[2] if one.rip else one.part[3])
    assert plan.least_usd <= plan.cost_usd + 1e-9


def test_whole_halves_make_whole_sheets():
    """Eight halves of a sheet, cut without kerf, take four sheets, and that is proven."""
    plan = plan_sheets(
        (SheetPiece("half", 24, 96, 8),), stock=(SHEET,), rules=CutRules(0.0, Way.SHEAR)
    )
    assert len(plan.sheets) == 4
    assert plan.proven
    assert plan.wasted == approx(0)


def test_the_kerf_keeps_two_exact_halves_from_one_sheet():
    """With a kerf only one exact half comes from each sheet; rounded widths prove it."""
    plan = plan_sheets((SheetPiece("half", 24, 96, 8),), stock=(SHEET,), rules=CutRules())
    assert len(plan.sheets) == 8
    assert plan.proven


def test_the_grain_can_cost_a_sheet():
    """What would fit turned does not where the grain forbids it."""
    rules = CutRules(0.0, Way.SHEAR)
    pieces = (SheetPiece("a", 30, 96, 1), SheetPiece("b", 40, 18, 2))
    fixed = plan_sheets(pieces, stock=(SHEET,), rules=rules)
    free = plan_sheets(
        (pieces[0], SheetPiece("b", 40, 18, 2, may_turn=True)), stock=(SHEET,), rules=rules
    )
    assert (len(fixed.sheets), len(free.sheets)) == (2, 1)


def test_the_sheet_that_serves_for_least_is_taken():
    """Tall pieces come from the longer sheet, others from the cheaper one."""
    stock = (SHEET, SheetStock("4x10", 48, 120, 39.0))
    plan = plan_sheets(
        (SheetPiece("tall", 48, 110), SheetPiece("short", 48, 90)), stock=stock, rules=CutRules()
    )
    assert sorted(sheet.stock_id for sheet in plan.sheets) == ["4x10", "4x8"]
    assert plan.proven


def test_sheets_without_a_price_are_counted_by_area():
    """With no price above 0 the area is made least."""
    stock = (SheetStock("s", 48, 96, 0.0),)
    plan = plan_sheets((SheetPiece("a", 40, 90, 2),), stock=stock, rules=CutRules())
    assert plan.least_usd is None
    assert plan.area_in2 == plan.least_area_in2 == 2 * 48 * 96


def test_the_same_pieces_give_the_same_sheets():
    """Draws come from a fixed seed."""
    rows = tuple(SheetPiece(f"p{n}", 11 + 3 * n, 20 + 7 * n, 3) for n in range(6))
    one = plan_sheets(rows, stock=(SHEET,), rules=CutRules(), effort=QUICK)
    assert one == plan_sheets(rows, stock=(SHEET,), rules=CutRules(), effort=QUICK)


@pytest.mark.parametrize(
    ("pieces", "words"),
    [
        pytest.param((SheetPiece("a", 50, 60),), "fits no sheet.*at most 4' by 8'", id="wide"),
        pytest.param((SheetPiece("a", 60, 40),), "length along the grain", id="against-the-grain"),
        pytest.param((), "at least one piece", id="none"),
    ],
)
def test_pieces_that_fit_no_sheet_are_refused(pieces, words):
    """A piece larger than every sheet says what the largest is."""
    with pytest.raises(InputError, match=words):
        plan_sheets(pieces, stock=(SHEET,), rules=CutRules())


def test_too_few_sheets_have_no_plan():
    """Sheets on hand that are too few end in no plan."""
    with pytest.raises(NoSolution, match="add stock"):
        plan_sheets(
            (SheetPiece("a", 40, 90, 3),),
            stock=(SheetStock("s", 48, 96, 1.0, 2),),
            rules=CutRules(),
        )


@pytest.mark.parametrize("size", [0.0, -4.0, math.nan, math.inf])
def test_absurd_sizes_are_refused(size):
    """A piece that is no plain size is refused by name."""
    with pytest.raises(InputError, match="width of a"):
        SheetPiece("a", size, 10)


@settings(max_examples=30)
@given(
    st.lists(st.tuples(st.integers(2, 6), st.integers(2, 6), st.integers(1, 30)), min_size=1,
             max_size=3),
    st.integers(4, 10),
    st.integers(4, 10),
)  # fmt: skip
def test_the_table_is_that_of_cutting_everywhere(rows, across, along):
    """The worth of a sheet is what cuts at every whole place give, and its pattern is worth it."""
    rects = tuple(Rect(n, w, h) for n, (w, h, _) in enumerate(rows))
    worth = np.array([float(v) for _, _, v in rows])
    grid = grid_of(rects, counts=(99,) * len(rects), across=across, along=along)
    table = worth_table(grid, worth)

    @cache
    def best(w, h):
        most = max((worth[r.size] for r in rects if r.across <= w and r.along <= h), default=0.0)
        most = max([most, *(best(x, h) + best(w - x, h) for x in range(1, w // 2 + 1))])
        return max([most, *(best(w, y) + best(w, h - y) for y in range(1, h // 2 + 1))])

    assert table[-1, -1] == approx(best(across, along))
    pattern = pattern_of(grid, table, worth, across=across, along=along)
    assert sum(worth[rect.size] for rect, _, _ in pattern.places) == approx(best(across, along))


@given(st.lists(st.floats(0.01, 1.0), min_size=1, max_size=8), st.integers(1, 4), st.floats(0, 0.5))
def test_rounded_parts_still_fit(parts, k, edge):
    """Parts that add up to no more than 1 still do after either rounding."""
    x = np.array(parts)
    x = x / max(1.0, x.sum() * (1 + 1e-6))
    assert steps_down(x, k=k).sum() <= 1 + 1e-6
    assert edges_out(x, edge=edge).sum() <= 1 + 1e-6
