"""Chance: what a sum may come to."""

from __future__ import annotations

import numpy as np
import pytest

from weatherlap.errors import InputError
from weatherlap.money.amounts import Three, sure
from weatherlap.money.chance import (
    Uncertain,
    check_together,
    nearest_together,
    run_chance,
    together,
)

USUAL = Three(50, 100, 200)


def lines(count, usd=USUAL, **more):
    """So many alike lines."""
    return [Uncertain(f"line {k}", usd, **more) for k in range(count)]


def test_the_same_seed_gives_the_same_answer():
    """Two runs of one seed agree to the last figure; another seed does not."""
    rows = lines(5)
    matrix = together(rows, within=0.3, across=0.3)
    assert run_chance(rows, matrix, seed=4) == run_chance(rows, matrix, seed=4)
    assert run_chance(rows, matrix, seed=4).mean != run_chance(rows, matrix, seed=5).mean


def test_what_is_known_stays_what_it_is():
    """Sure amounts come to their sum in every run."""
    rows = lines(3, sure(10.0))
    out = run_chance(rows, together(rows, within=0.2, across=0.2), runs=200)
    assert (out.p50, out.p80, out.mean) == (30.0, 30.0, 30.0)
    assert out.spread == 0.0


def test_a_matrix_that_cannot_be_names_the_nearest():
    """Three that cannot all go against one another are refused with the nearest that can."""
    bad = np.array([[1, 0.9, -0.9], [0.9, 1, 0.9], [-0.9, 0.9, 1.0]])
    with pytest.raises(InputError, match="no costs can go together so") as caught:
        check_together(bad, ["wood", "metal", "hours"])
    assert "The nearest one that can be has" in str(caught.value)
    near = nearest_together(bad)
    assert np.linalg.eigvalsh(near)[0] > -1e-6
    assert np.allclose(np.diag(near), 1.0)


@pytest.mark.parametrize(
    ("matrix", "match"),
    [
        pytest.param([[1, 0.5], [0.4, 1]], "the same both ways", id="uneven"),
        pytest.param([[1, 2.0], [2.0, 1]], "from -1 to 1", id="too-much"),
        pytest.param([[0.5, 0], [0, 1]], "1 along its diagonal", id="diagonal"),
        pytest.param([[1.0]], "2 by 2", id="too-small"),
        pytest.param([[1, float("nan")], [float("nan"), 1]], "from -1 to 1", id="no-number"),
    ],
)
def test_a_wrong_matrix_says_what_is_wrong(matrix, match):
    """Each way of being no correlation matrix has its own words."""
    with pytest.raises(InputError, match=match):
        check_together(np.array(matrix, dtype=float), ["a", "b"])


def test_lines_that_go_together_spread_more():
    """P80 of the sum grows as its lines go together more; the mean does not move."""
    rows = lines(20)
    apart = run_chance(rows, together(rows, within=0.0, across=0.0))
    near = run_chance(rows, together(rows, within=0.8, across=0.8))
    assert near.p80 > apart.p80 + 100
    assert near.mean == pytest.approx(apart.mean, rel=0.01)


def test_a_chance_is_none_out_of_its_range():
    """A chance over 1 is refused by its line."""
    with pytest.raises(InputError, match="chance of rot"):
        Uncertain("rot", sure(1.0), chance=1.2)


def test_too_few_runs_are_refused():
    """Ten runs say nothing of a P80."""
    rows = lines(2)
    with pytest.raises(InputError, match="from 100"):
        run_chance(rows, together(rows, within=0, across=0), runs=10)
