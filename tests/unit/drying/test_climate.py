"""Climate: hours from normals, gaps, driving rain."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from weatherlap.drying.climate import (
    Climate,
    checked_climate,
    driving_rain_kg_m2_h,
    from_hour,
)
from weatherlap.drying.normals import MONTH_DAYS, Normals, hourly_climate, place, places
from weatherlap.errors import InputError
from weatherlap.sources.register import sources

MONTH = np.repeat(np.arange(12), [24 * d for d in MONTH_DAYS])


def monthly(series: np.ndarray) -> np.ndarray:
    """Monthly means of an hourly year."""
    return np.bincount(MONTH, weights=series) / np.bincount(MONTH)


@pytest.mark.parametrize("key", sorted(places()))
def test_hours_keep_the_normals(key: str) -> None:
    """Monthly means of temperature and wind and sums of rain are those of the normals."""
    normals = place(key)
    climate = hourly_climate(normals)
    assert monthly(climate.temperature_c) == pytest.approx(np.array(normals.temperature_c))
    assert monthly(climate.wind_m_s) == pytest.approx(np.array(normals.wind_m_s))
    sums = np.bincount(MONTH, weights=climate.rain_mm_h)
    assert sums == pytest.approx(np.array(normals.rain_mm))


@pytest.mark.parametrize("key", sorted(places()))
def test_humidity_stays_near_the_normals(key: str) -> None:
    """Vapour follows the monthly humidity: monthly mean humidity within 9 points."""
    normals = place(key)
    found = monthly(hourly_climate(normals).humidity_pct)
    assert found == pytest.approx(np.array(normals.humidity_pct), abs=9.0)


def test_places_have_sources() -> None:
    """Each kept place names sources of the register, and there are a dozen or more."""
    assert len(places()) >= 12
    for normals in places().values():
        assert normals.source_keys and set(normals.source_keys) <= sources().keys()


def test_days_are_warmest_in_the_afternoon(boston: Climate) -> None:
    """The warmest hour of a July day is about 15 h, and air is driest then."""
    day = slice(24 * 190, 24 * 191)
    assert int(np.argmax(boston.temperature_c[day])) in (14, 15)
    assert int(np.argmin(boston.humidity_pct[day])) in (13, 14, 15)


def test_rain_falls_on_the_given_days() -> None:
    """The wet days of a month are those of the normals, to half a day."""
    normals = place("richmond-va")
    rain = hourly_climate(normals).rain_mm_h.reshape(365, 24).sum(axis=1)
    days = np.bincount(np.repeat(np.arange(12), MONTH_DAYS), weights=rain > 0.0)
    assert days == pytest.approx(np.array(normals.rain_days), abs=0.5)


@pytest.mark.parametrize(
    ("change", "want"),
    [
        ({"temperature_c": (5.0,) * 11}, "twelve, January first"),
        ({"humidity_pct": (120.0,) * 12}, "1 to 100"),
        ({"rain_days": (0.0,) * 12}, "at least one wet day"),
        ({"latitude_deg": 89.0}, "-66 to 66 degrees"),
    ],
)
def test_impossible_normals_are_refused(change: dict[str, object], want: str) -> None:
    """Missing months, impossible humidity and rain without a wet day are refused."""
    normals: Normals = replace(place("boston-ma"), **change)  # type: ignore[arg-type]
    with pytest.raises(InputError, match=want):
        hourly_climate(normals)


def test_unknown_place_lists_the_kept_ones() -> None:
    """A place that is not kept is refused with the list of those that are."""
    with pytest.raises(InputError, match="Kept: boston-ma, "):
        place("atlantis")


def test_short_gaps_are_bridged_in_the_open(boston: Climate) -> None:
    """Up to six missing hours are bridged by a straight line, and the repairs say so."""
    series = boston.temperature_c.copy()
    series[100:106] = np.nan
    fixed = checked_climate(replace(boston, temperature_c=series))
    between = np.interp(102, [99, 106], [series[99], series[106]])
    assert fixed.temperature_c[102] == pytest.approx(between)
    assert "temperature_c: 6 missing hours bridged by straight lines" in fixed.repairs


def test_long_gaps_are_refused(boston: Climate) -> None:
    """Seven missing hours are refused with the hour at which they begin."""
    series = boston.humidity_pct.copy()
    series[100:107] = np.nan
    with pytest.raises(InputError, match="hour 101: humidity_pct missing for 7 hours"):
        checked_climate(replace(boston, humidity_pct=series))


@pytest.mark.parametrize(
    ("name", "value", "want"),
    [
        ("humidity_pct", 130.0, "humidity_pct 130 %; expected 0 to 100 %"),
        ("temperature_c", 75.0, "temperature_c 75 C; expected -60 to 60 C"),
        ("rain_mm_h", -1.0, "rain_mm_h -1 mm"),
        ("wind_m_s", -0.5, "wind_m_s -0.5 m/s"),
    ],
)
def test_impossible_weather_is_refused(boston: Climate, name: str, value: float, want: str) -> None:
    """A value no weather has is refused with its hour."""
    series = getattr(boston, name).copy()
    series[41] = value
    with pytest.raises(InputError, match=f"hour 42: {want}"):
        checked_climate(replace(boston, **{name: series}))


def test_uneven_columns_are_refused(boston: Climate) -> None:
    """A column of another length is refused."""
    with pytest.raises(InputError, match="one value an hour in every column"):
        checked_climate(replace(boston, wind_m_s=boston.wind_m_s[:-1]))


def test_a_stretch_goes_round_the_year(boston: Climate) -> None:
    """Hours past the end of the year go on with January."""
    part = from_hour(boston, first_hour=8750, hours=20)
    assert part.hours == 20
    assert part.temperature_c[10] == boston.temperature_c[0]


def test_driving_rain_by_hand(boston: Climate) -> None:
    """0.2 x 1.0 x 0.35 x wind x cosine x rain, none on the lee side, 1 / pi where unknown."""
    one = np.ones(3)
    some = from_hour(boston, first_hour=0, hours=3)
    weather = replace(
        some, wind_m_s=4.0 * one, rain_mm_h=2.0 * one,
        wind_from_deg=np.array([180.0, 0.0, np.nan]),
    )  # fmt: skip
    found = driving_rain_kg_m2_h(weather, facing_deg=180.0)
    full = 0.2 * 0.35 * 4.0 * 2.0
    assert found == pytest.approx([full, 0.0, full / np.pi])
