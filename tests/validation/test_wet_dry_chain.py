"""Checks of the chain of wet and dry days against its closed forms and against simulation.

With p the chance of a dry day after a dry one and q after a wet one: dry share q / (1 - p + q);
chance of n dry days in a row: that share times p^(n-1); mean days until n dry in a row, from a
wet day: (1/q + (1 - p^(n-1)) / (1 - p)) / p^(n-1).
"""

from __future__ import annotations

import datetime

import numpy as np
import pytest

from weatherlap.order.weather import (
    RainDays,
    days_until_dry_run_days,
    dry_chance,
    sampled_wet,
    stationary_dry_share,
)

FIRST = datetime.date(2026, 4, 1)
APRIL = RainDays((12.0,) * 12, 0.3)
WET = 12.0 / 30.0
P, Q = 1 - WET * 0.7, 1 - (WET + 0.3 * (1 - WET))


def test_shares_of_the_chain_are_those_of_the_month():
    """The chain made from 12 wet days in 30 is dry for 18 in 30 in the long run."""
    assert stationary_dry_share(P, Q) == pytest.approx(18 / 30)


@pytest.mark.parametrize("days", [1, 2, 5, 9])
def test_chance_of_dry_days_in_a_row(days):
    """Within a month: the dry share times p to the n - 1."""
    want = stationary_dry_share(P, Q) * P ** (days - 1)
    assert dry_chance(APRIL, FIRST, days) == pytest.approx(want, rel=1e-12)


def test_sampled_days_follow_the_chain():
    """40,000 runs: wet share, lag-one correlation and dry runs within 0.01 of the closed forms."""
    wet = sampled_wet(APRIL, FIRST, 30, runs=40000, seed=3)
    assert wet.mean() == pytest.approx(WET, abs=0.01)
    a, b = wet[:, 10].astype(float), wet[:, 11].astype(float)
    assert np.corrcoef(a, b)[0, 1] == pytest.approx(0.3, abs=0.015)
    assert (~wet[:, :5]).all(axis=1).mean() == pytest.approx(dry_chance(APRIL, FIRST, 5), abs=0.01)


@pytest.mark.parametrize("run", [1, 3])
def test_days_until_a_dry_run(run):
    """Simulated from a wet day, the mean wait is that of the closed form to 2 %."""
    draws = np.random.default_rng(5)
    waits = []
    for _ in range(20000):
        days, row, dry = 0, 0, False
        while row < run:
            dry = draws.random() < (P if dry else Q)
            row = row + 1 if dry else 0
            days += 1
        waits.append(days)
    assert np.mean(waits) == pytest.approx(days_until_dry_run_days(P, Q, run), rel=0.02)
