"""Mould index and rot hours."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from weatherlap.drying.decay import Hazard, climate_index, rot_hours
from weatherlap.drying.mould import MouldClass, mould_index
from weatherlap.errors import InputError


@settings(max_examples=60, deadline=None)
@given(
    celsius=st.lists(st.floats(-20.0, 60.0), min_size=1, max_size=200),
    humidity=st.floats(0.0, 100.0),
    mould_class=st.sampled_from(list(MouldClass)),
)
def test_index_stays_on_its_scale(
    celsius: list[float], humidity: float, mould_class: MouldClass
) -> None:
    """In any weather the index stays between 0 and 6."""
    t = np.array(celsius)
    index = mould_index(t, np.full(t.size, humidity), mould_class=mould_class)
    assert np.all(index >= 0.0) and np.all(index <= 6.0)


def test_cold_dry_and_hot_do_not_grow() -> None:
    """No growth at or below 0 C, above 50 C, or below the critical humidity."""
    for celsius, humidity in ((0.0, 100.0), (55.0, 98.0), (20.0, 75.0)):
        index = mould_index(
            np.full(500, celsius), np.full(500, humidity),
            mould_class=MouldClass.VERY_SENSITIVE,
        )  # fmt: skip
        assert index[-1] == 0.0


def test_more_sensitive_grows_faster() -> None:
    """The classes are in order."""
    last = [
        mould_index(np.full(2000, 20.0), np.full(2000, 97.0), mould_class=c)[-1] for c in MouldClass
    ]
    assert last == sorted(last, reverse=True) and last[-1] > 0.0


def test_decline_by_hand() -> None:
    """Dry: 6 hours quick, then level to 24 hours, then slow; pine in full."""
    dry = np.full(100, 50.0)
    index = mould_index(np.full(100, 20.0), dry, mould_class=MouldClass.VERY_SENSITIVE, start=2.0)
    assert index[5] == pytest.approx(2.0 - 6 * 0.00133)
    assert index[23] == index[5]
    assert index[99] == pytest.approx(index[23] - 76 * 0.000667)


def test_uneven_series_are_refused() -> None:
    """Temperature and humidity must be as long."""
    with pytest.raises(InputError, match="series of one length"):
        mould_index(np.zeros(3), np.zeros(4), mould_class=MouldClass.MEDIUM)


def test_rot_needs_wet_and_warm() -> None:
    """Only hours that are wet and between 10 and 35 C count; the longest spell is found."""
    wet = np.array([30.0, 30.0, 30.0, 15.0, 30.0, 22.0, 28.0, 28.0])
    warm = np.array([20.0, 20.0, 5.0, 20.0, 40.0, 20.0, 12.0, 12.0])
    found = rot_hours(wet, celsius=warm)
    assert (found.new_rot_h, found.old_rot_h, found.longest_spell_h) == (4, 5, 2)


@pytest.mark.parametrize(
    ("celsius", "days", "want"),
    [(5.0, 6.0, Hazard.LOW), (15.0, 8.0, Hazard.MODERATE), (25.0, 12.0, Hazard.HIGH)],
)
def test_hazard_bounds(celsius: float, days: float, want: Hazard) -> None:
    """A cool dry, a mild and a hot wet climate are low, moderate and high."""
    assert climate_index([celsius] * 12, rain_days=[days] * 12).hazard is want


@pytest.mark.parametrize(
    ("months", "days", "want"), [(11, 10.0, "twelve of each"), (12, 40.0, "0 to 31 a month")]
)
def test_impossible_climate_index_is_refused(months: int, days: float, want: str) -> None:
    """Eleven months or forty wet days a month are refused."""
    with pytest.raises(InputError, match=want):
        climate_index([10.0] * months, rain_days=[days] * 12)
