"""Chance and price against closed forms and published tables."""

from __future__ import annotations

import math

import numpy as np
import pytest

from weatherlap.money.amounts import Three
from weatherlap.money.chance import Uncertain, run_chance, sum_spread_usd, together
from weatherlap.money.costbook import hour_cost_usd_per_h
from weatherlap.money.price import margin_of_markup, markup_of_margin


@pytest.mark.parametrize(
    ("markup", "margin"),
    [(0.20, 16.7), (0.25, 20.0), (1 / 3, 25.0), (0.50, 33.3), (2 / 3, 40.0), (1.00, 50.0)],
)
def test_published_markup_table(markup, margin):
    """Guides to contractors' markup print 20 % as 16.7, 25 as 20, 33.3 as 25, 50 as 33.3 % ..."""
    assert 100 * margin_of_markup(markup) == pytest.approx(margin, abs=0.05)
    assert markup_of_margin(margin_of_markup(markup)) == pytest.approx(markup)


def test_published_triangle():
    """Triangle 800, 1000, 1600 of the project's facts: mean 1133, standard deviation 170."""
    three = Three(800, 1000, 1600)
    assert three.mean == pytest.approx(1133, abs=0.5)
    assert three.spread == pytest.approx(170, abs=0.5)


@pytest.mark.parametrize(("rho", "ratio"), [(0.0, 3.16), (0.25, 5.70), (0.5, 7.42)])
def test_ten_equal_lines(rho, ratio):
    """Ten equal lines: spread of the sum over that of one is 3.16, 5.70 and 7.42."""
    matrix = np.full((10, 10), rho)
    np.fill_diagonal(matrix, 1.0)
    assert sum_spread_usd([1.0] * 10, matrix) == pytest.approx(ratio, abs=0.005)


def _sum_share(x):
    """Distribution of the sum of two even triangles over 0 to 2: of four uniforms over 0 to 1.

    The Irwin-Hall distribution of four, a closed form.
    """
    rows = ((-1) ** k * math.comb(4, k) * max(x - k, 0.0) ** 4 for k in range(5))
    return sum(rows) / 24.0


def test_sum_of_two_triangles_is_irwin_hall():
    """Two triangles 0, 1, 2 add up as four uniforms do: P50 is 2, P80 by the closed form."""
    lines = [Uncertain(f"t{k}", Three(0, 1, 2)) for k in range(2)]
    out = run_chance(lines, together(lines, within=0, across=0), runs=200_000)
    assert out.p50 == pytest.approx(2.0, abs=4 * out.p50_give)
    assert _sum_share(out.p80) == pytest.approx(0.8, abs=0.004)
    assert out.mean == pytest.approx(2.0, abs=0.01)
    assert out.spread == pytest.approx(math.sqrt(4 / 12), abs=0.005)


def test_wholly_together_adds_quantiles():
    """Lines that go wholly together: the P80 of the sum is the sum of the P80s."""
    usd = Three(50, 100, 200)
    one = usd.high - math.sqrt(0.2 * (usd.high - usd.low) * (usd.high - usd.likely))
    lines = [Uncertain(f"t{k}", usd, group="one") for k in range(4)]
    out = run_chance(lines, together(lines, within=1.0, across=0.0), runs=100_000)
    assert out.p80 == pytest.approx(4 * one, rel=0.005)


def test_alike_uniform_copula_correlation():
    """Normal variates that go together by r give uniforms that go by (6/pi) asin(r/2).

    Lines of a triangle are close to it: the spread of the sum lies within 2 % of that closed form.
    """
    rho = 0.5
    lines = [Uncertain(f"t{k}", Three(0, 1, 2)) for k in range(10)]
    out = run_chance(lines, together(lines, within=rho, across=rho), runs=100_000)
    lifted = 6 / math.pi * math.asin(rho / 2)
    matrix = np.full((10, 10), lifted)
    np.fill_diagonal(matrix, 1.0)
    spread = sum_spread_usd([lines[0].usd.spread] * 10, matrix)
    assert out.spread == pytest.approx(spread, rel=0.02)


def test_a_rare_line_has_the_mean_of_its_chance():
    """An amount that comes in 3 of 10 cases adds 0.3 of its mean, and is 0 at the P50."""
    lines = [Uncertain("rot", Three(100, 200, 300), chance=0.3)]
    out = run_chance(lines, np.ones((1, 1)), runs=100_000)
    assert out.mean == pytest.approx(60.0, rel=0.02)
    assert out.p50 == 0.0


def test_billing_hour():
    """A wage of 30 with 30 % burden, 75 % of hours on jobs: 30 x 1.3 / 0.75 = 52.00 an hour."""
    assert hour_cost_usd_per_h(30.0, 0.3, 0.75) == pytest.approx(52.0)
