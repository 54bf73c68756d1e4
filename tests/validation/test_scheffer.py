"""Checks against Scheffer's climate index (source D-011), on normals seen first hand."""

from __future__ import annotations

import pytest

from weatherlap.drying.decay import Hazard, climate_index

LEBANON_F = (19.8, 22.4, 31.9, 44.3, 56.7, 65.1, 70.3, 68.6, 60.7, 48.6, 37.2, 26.8)
LEBANON_DAYS = (10.5, 10.3, 10.9, 12.1, 13.9, 14.7, 14.5, 13.6, 12.5, 13.5, 11.4, 12.4)
RICHMOND_F = (37.9, 40.9, 48.6, 58.2, 66.4, 75.3, 79.3, 77.5, 70.6, 59.7, 50.4, 41.0)
RICHMOND_DAYS = (9.7, 8.9, 10.3, 10.0, 10.8, 10.0, 11.4, 9.1, 8.4, 7.4, 8.3, 9.7)


def celsius(fahrenheit: tuple[float, ...]) -> list[float]:
    """Monthly means in C."""
    return [(f - 32.0) / 1.8 for f in fahrenheit]


@pytest.mark.parametrize(
    ("fahrenheit", "days", "want"),
    [
        pytest.param(RICHMOND_F, RICHMOND_DAYS, 63.2, id="richmond-va-1981-2010"),
        pytest.param(LEBANON_F, LEBANON_DAYS, 61.4, id="lebanon-nh-1991-2020"),
    ],
)
def test_index_of_normals(
    fahrenheit: tuple[float, ...], days: tuple[float, ...], want: float
) -> None:
    """The index of the normals, to the printed digit; both are moderate."""
    found = climate_index(celsius(fahrenheit), rain_days=days)
    assert found.index == pytest.approx(want, abs=0.05)
    assert found.hazard is Hazard.MODERATE
