"""Whatever numbers come in, cutting either plans or says what is wrong."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from weatherlap.errors import InputError, NoSolution
from weatherlap.takeoff.cutting.bars import plan_bars
from weatherlap.takeoff.cutting.coil import Coil, CoilRules, Strip, plan_coil
from weatherlap.takeoff.cutting.covering import Effort
from weatherlap.takeoff.cutting.model import BarPiece, BarStock, CutRules
from weatherlap.takeoff.cutting.sheets import SheetPiece, SheetStock, plan_sheets

QUICK = Effort(0.5, 50, 200)
numbers = st.one_of(st.floats(), st.floats(0.1, 300), st.sampled_from([0.0, -1.0, 1e308, 1 / 3]))
counts = st.one_of(st.integers(), st.integers(1, 20))


def plans_or_says(make):
    """The plan, or None where the input is refused in words."""
    try:
        return make()
    except (InputError, NoSolution) as error:
        assert len(str(error)) > 20
        return None


@settings(max_examples=60)
@given(st.lists(st.tuples(numbers, counts), max_size=4), numbers, numbers, numbers, numbers)
def test_any_bars(rows, length, price, kerf, trim):
    """Bars of any numbers are planned with a bound, or refused."""
    plan = plans_or_says(
        lambda: plan_bars(
            tuple(BarPiece(f"p{n}", x, c) for n, (x, c) in enumerate(rows)),
            stock=(BarStock("s", length, price),),
            rules=CutRules(kerf, end_trim_in=trim),
            effort=QUICK,
        )
    )
    assert plan is None or 0 <= plan.gap < 1


@settings(max_examples=60)
@given(st.lists(st.tuples(numbers, numbers, counts), max_size=3), numbers, numbers, numbers)
def test_any_coil(rows, width, brake, lap):
    """Coil of any numbers is planned with a bound, or refused."""
    plan = plans_or_says(
        lambda: plan_coil(
            tuple(Strip(f"s{n}", g, x, c) for n, (g, x, c) in enumerate(rows)),
            coils=(Coil("c", 600, 100.0),),
            rules=CoilRules(width, brake, lap),
            effort=QUICK,
        )
    )
    assert plan is None or 0 <= plan.gap < 1


@settings(max_examples=60)
@given(st.lists(st.tuples(numbers, numbers, counts, st.booleans()), max_size=3), numbers, numbers)
def test_any_sheets(rows, width, price):
    """Sheets of any numbers are planned with a bound, or refused."""
    plan = plans_or_says(
        lambda: plan_sheets(
            tuple(SheetPiece(f"p{n}", w, h, c, t) for n, (w, h, c, t) in enumerate(rows)),
            stock=(SheetStock("s", width, 96, price),),
            rules=CutRules(),
            effort=QUICK,
        )
    )
    assert plan is None or 0 <= plan.gap < 1


def test_thousands_of_pieces_are_planned():
    """The most pieces that a plan takes are planned, with their bound."""
    rows = tuple(BarPiece(f"p{n}", 20 + 7.25 * n, 500) for n in range(10))
    plan = plan_bars(rows, stock=(BarStock("s", 192, 9.0),), rules=CutRules())
    assert sum(len(bar.piece_ids) * bar.times for bar in plan.bars) == 5000
    assert plan.gap < 0.001


def test_long_stock_in_too_many_sizes_is_refused():
    """Tables too large to hold are refused before they are made, with a way out."""
    rows = tuple(BarPiece(f"p{n}", 20 + n + 1 / 64, 1) for n in range(300))
    with pytest.raises(InputError, match="Round the sizes to sixteenths"):
        plan_bars(rows, stock=(BarStock("s", 3600, 9.0),), rules=CutRules(1 / 64))
