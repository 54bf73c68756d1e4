"""Checks against the published mould model (source D-009): its regressions and growth curves."""

from __future__ import annotations

import numpy as np
import pytest

from weatherlap.drying.mould import (
    MouldClass,
    critical_humidity_pct,
    highest_index,
    mould_index,
    weeks_to_first_growth,
    weeks_to_visible_growth,
)


def one(value: float) -> np.ndarray:
    """A single value as an array."""
    return np.array([value])


@pytest.mark.parametrize(
    ("humidity", "first", "visible"), [(97, 1.48, 2.98), (90, 4.20, 7.73), (80, 21.6, 34.6)]
)
def test_weeks_at_20_c(humidity: float, first: float, visible: float) -> None:
    """Regression times at 20 C to the first and to visible growth, to the printed digit."""
    digit = 0.005 if humidity > 80 else 0.05
    assert weeks_to_first_growth(one(20.0), one(humidity))[0] == pytest.approx(first, abs=digit)
    assert weeks_to_visible_growth(one(20.0), one(humidity))[0] == pytest.approx(visible, abs=digit)


@pytest.mark.parametrize(
    ("mould_class", "day", "want"),
    [
        (MouldClass.VERY_SENSITIVE, 28, 0.952),
        (MouldClass.VERY_SENSITIVE, 56, 2.78),
        (MouldClass.VERY_SENSITIVE, 91, 3.97),
        (MouldClass.SENSITIVE, 28, 0.549),
        (MouldClass.SENSITIVE, 91, 1.515),
    ],
)
def test_growth_curve_at_20_c_90_pct(mould_class: MouldClass, day: int, want: float) -> None:
    """Growth curves in a steady 20 C and 90 %, hour by hour from nothing."""
    hours = 24 * day
    index = mould_index(np.full(hours, 20.0), np.full(hours, 90.0), mould_class=mould_class)
    assert index[-1] == pytest.approx(want, abs=0.006)


def test_ceiling_of_pine() -> None:
    """The ceiling of pine sapwood at 20 C and 90 % is 3.995."""
    top = highest_index(one(20.0), one(90.0), mould_class=MouldClass.VERY_SENSITIVE)
    assert top[0] == pytest.approx(3.995, abs=0.02)


def test_critical_humidity_falls_with_warmth() -> None:
    """100 % at 0 C, falling to 80 % at 20 C (the sign of the linear term is minus)."""
    critical = critical_humidity_pct(np.array([0.0, 5.0, 20.0, 30.0]), least_pct=80.0)
    assert critical[0] == pytest.approx(100.0)
    assert critical[1] == pytest.approx(88.0, abs=0.1)
    assert critical[2:] == pytest.approx([80.0, 80.0], abs=0.1)
