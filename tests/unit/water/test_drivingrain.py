"""Driving rain: factors at their steps, the hourly index, spells and bad input."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from weatherlap.errors import InputError
from weatherlap.water import drivingrain as dr


@pytest.mark.parametrize(
    ("exposure", "height_m", "factor"),
    [("medium", 3, 1.0), ("severe", 9.9, 1.3), ("sheltered", 10, 0.8), ("medium", 45, 1.5),
     ("sheltered", 60, 1.5)],
)  # fmt: skip
def test_exposure_factor(exposure, height_m, factor):
    """F_E follows the exposure and the height band."""
    assert dr.exposure_factor(exposure, height_m=height_m) == factor


def test_ashrae_rain_is_a_product():
    """ASHRAE: 20 mm/h at 5 m/s, square on, exposed, under a low roof: 0.2 x 1.3 x 0.5 x 5 x 20."""
    got = dr.ashrae_driving_rain_mm_per_h(20, wind_m_per_s=5, exposure=1.3, deposition=0.5)
    assert got == approx(13.0)
    half = dr.ashrae_driving_rain_mm_per_h(20, wind_m_per_s=5, angle_deg=60)
    assert half == approx(10.0)
    assert dr.ashrae_driving_rain_mm_per_h(20, wind_m_per_s=5, angle_deg=120) == 0


@pytest.mark.parametrize(
    ("distance_m", "factor"),
    [(1, 0.2), (8, 0.2), (8.01, 0.3), (25, 0.4), (40, 0.5), (119, 0.9), (121, 1.0)],
)
def test_obstruction_factor(distance_m, factor):
    """O follows the table of distances."""
    assert dr.obstruction_factor(distance_m) == factor


def test_roughness_stays_level_below_its_least_height():
    """C_R follows the logarithm and does not fall below that of z_min."""
    assert dr.roughness_coefficient("farmland", height_m=10) == approx(0.19 * math.log(200))
    low = dr.roughness_coefficient("town", height_m=3)
    assert low == dr.roughness_coefficient("town", height_m=16) == approx(0.24 * math.log(16))


def test_wall_index_is_a_product():
    """The wall index multiplies the four factors."""
    assert dr.wall_index(400, roughness=0.9, topography=1.1, obstruction=0.5, wall=0.4) == approx(
        400 * 0.9 * 1.1 * 0.5 * 0.4
    )


def hours(n, **rows):
    """Hourly rows of n hours, dry and still but for the rows given as {hour: value}."""
    made = {name: np.zeros(n) for name in ("wind", "bearing", "rain")}
    for name, values in rows.items():
        for at, value in values.items():
            made[name][at] = value
    return made["wind"], made["bearing"], made["rain"]


def test_annual_index_adds_hours_that_face_the_wall():
    """Only hours with rain and wind toward the wall count, each (2/9) v r^(8/9) cos."""
    wind, bearing, rain = hours(
        100, wind={3: 9, 5: 9, 7: 9}, bearing={3: 180, 5: 240, 7: 0}, rain={3: 1, 5: 1, 7: 1}
    )
    got = dr.airfield_annual_index(
        wind, wind_from_deg=bearing, rain_mm=rain, facing_deg=180, years=0.5
    )
    assert got == approx((2.0 + 1.0) / 0.5)


def test_spells_part_after_96_dry_hours():
    """Two wet hours 96 hours apart are one spell, 98 apart they are two."""
    for apart, worst in ((96, 4.0), (98, 2.0)):
        at = (10, 10 + apart)
        wind, bearing, rain = hours(400, wind=dict.fromkeys(at, 9), rain=dict.fromkeys(at, 1))
        got = dr.airfield_spell_index(
            wind, wind_from_deg=bearing, rain_mm=rain, facing_deg=0, hours_in_year=400
        )
        assert got == approx(worst)


def test_spell_index_is_the_67th_percentile_of_years():
    """Of yearly worst spells the one exceeded about once in three years is given."""
    at = {year * 1000 + 5: 9 * (year + 1) for year in range(10)}
    wind, bearing, rain = hours(10000, wind=at, rain=dict.fromkeys(at, 1))
    got = dr.airfield_spell_index(
        wind, wind_from_deg=bearing, rain_mm=rain, facing_deg=0, hours_in_year=1000
    )
    assert got == approx(np.percentile(2.0 * np.arange(1, 11), 67))
    assert (
        dr.airfield_spell_index(
            np.zeros(50), wind_from_deg=np.zeros(50), rain_mm=np.zeros(50), facing_deg=0
        )
        == 0
    )


@given(st.lists(st.tuples(st.floats(0, 40), st.floats(0, 360), st.floats(0, 50)), min_size=1,
                max_size=60), st.floats(0, 360))  # fmt: skip
def test_four_walls_share_the_rain(rows, facing):
    """Walls round the compass together take |sin| + |cos| of what a wall square on would."""
    wind, bearing, rain = (np.array(column) for column in zip(*rows, strict=True))
    total = sum(
        dr.airfield_annual_index(
            wind, wind_from_deg=bearing, rain_mm=rain, facing_deg=facing + turn, years=1
        )
        for turn in (0, 90, 180, 270)
    )
    angle = np.radians(bearing - facing)
    square = 2 / 9 * wind * rain ** (8 / 9)
    assert total == approx((square * (np.abs(np.sin(angle)) + np.abs(np.cos(angle)))).sum())


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"wind": np.zeros(2)}, "three rows of equal length"),
        ({"rain": np.array([0.0, math.nan, 0.0])}, "gaps or NaN; expected finite numbers"),
        ({"rain": np.array([0.0, -1.0, 0.0])}, "a negative value; expected 0 or more"),
    ],
)
def test_bad_hourly_rows_are_named(change, words):
    """Rows that do not fit, with gaps or negative values are refused."""
    rows = {"wind": np.zeros(3), "bearing": np.zeros(3), "rain": np.zeros(3)} | change
    with pytest.raises(InputError, match=words):
        dr.airfield_annual_index(
            rows["wind"],
            wind_from_deg=rows["bearing"],
            rain_mm=rows["rain"],
            facing_deg=0,
            years=1,
        )


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: dr.exposure_factor("wild", height_m=3), "'wild'; expected \"severe\""),
        (lambda: dr.exposure_factor("medium", height_m=-1), "height_m: -1"),
        (lambda: dr.roughness_coefficient("moor", height_m=3), "'moor'; expected one of open"),
        (lambda: dr.obstruction_factor(math.nan), "distance_m: nan"),
        (lambda: dr.ashrae_driving_rain_mm_per_h(-1, wind_m_per_s=1), "rain_mm_per_h: -1"),
        (lambda: dr.iso_driving_rain_mm_per_h(1, wind_m_per_s=-1), "wind_m_per_s: -1"),
        (lambda: dr.wall_index(-1, roughness=1), "airfield_index: -1"),
        (
            lambda: dr.airfield_annual_index(
                [], wind_from_deg=[], rain_mm=[], facing_deg=0, years=0
            ),
            "more than 0 years",
        ),
        (
            lambda: dr.airfield_spell_index([], wind_from_deg=[], rain_mm=[], facing_deg=0),
            "at least one year of hours",
        ),
    ],
)
def test_bad_values_are_named(call, words):
    """A value out of range is named with what would be right."""
    with pytest.raises(InputError, match=words):
        call()
