"""Physics of a lap: shapes of the relations, limits and bad input."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from weatherlap.errors import InputError
from weatherlap.water import lapphysics as lap
from weatherlap.water import raindrops


@pytest.mark.parametrize(
    ("gap_mm", "rise_mm"),
    [(0.1, 149), (0.25, 59.5), (0.5, 29.7), (1.5, 9.9), (3.0, 5.0), (5.0, 3.0), (6.35, 2.3)],
)
def test_rise_between_plates(gap_mm, rise_mm):
    """The rise is that of the table worked out apart from this code."""
    digit = 0.5 if gap_mm < 0.2 else 0.05
    assert lap.capillary_rise_plates_mm(gap_mm) == approx(rise_mm, abs=digit)


def test_waxy_faces_push_water_down():
    """With a contact angle over 90 degrees the water stands lower, not higher."""
    assert lap.capillary_rise_plates_mm(1.0, contact_angle_deg=110) < 0


def test_a_leaning_lap_is_reached_farther():
    """On a 4-in-12 roof a rise reaches more than three times as far along the slope."""
    assert lap.capillary_reach_mm(10, tilt_deg=18.435) == approx(31.6, abs=0.05)
    assert lap.capillary_reach_mm(10, tilt_deg=90) == approx(10)
    assert lap.capillary_reach_mm(10, tilt_deg=0) == math.inf


@pytest.mark.parametrize(
    ("speed", "head_mm", "digit"),
    [(5, 1.6, 0.05), (15, 14.1, 0.05), (25, 39.1, 0.05), (30, 56.4, 0.05), (40, 100, 0.5)],
)
def test_wind_head(speed, head_mm, digit):
    """The head is the velocity pressure over the weight of water."""
    assert lap.wind_head_mm(speed) == approx(head_mm, abs=digit)


def test_lap_needed_adds_head_and_rise():
    """A two inch lap holds a 50 mph gust that acts in full; a one inch lap does not."""
    need_in = lap.lap_needed_mm(50 * 0.44704) / 25.4
    assert 1 < need_in < 2
    assert lap.lap_needed_mm(50 * 0.44704, gap_mm=10) == approx(lap.wind_head_mm(50 * 0.44704))
    assert lap.lap_needed_mm(0, margin_mm=5, gap_mm=10) == approx(5)


@pytest.mark.parametrize(
    ("rain_mm_h", "plan_m", "rise", "thick_mm"),
    [(50, 5, 0.25, 1.01), (50, 5, 3, 0.44), (50, 5, 6, 0.36), (100, 10, 3, 0.70)],
)
def test_film_on_roofs(rain_mm_h, plan_m, rise, thick_mm):
    """Films on roofs are as worked out apart from this code."""
    flow = rain_mm_h / 1000 / 3600 * plan_m
    tilt = math.degrees(math.atan2(rise, 12))
    assert lap.film_thickness_mm(flow, tilt_deg=tilt) == approx(thick_mm, abs=0.006)


def test_film_at_the_edge_of_laminar():
    """100 mm/h on 10 m of plan is at the edge of laminar flow."""
    assert lap.film_reynolds(100 / 1000 / 3600 * 10) == approx(1111, abs=1)


@given(st.floats(0.2, 300.0), st.floats(0.0, 50.0))
def test_shelter_and_angle_agree(rain, wind):
    """The dry strip is the overhang over the tangent of the fall angle."""
    angle = raindrops.fall_angle_deg(wind, rain_mm_per_h=rain)
    dry = raindrops.sheltered_in(12.0, wind_m_per_s=wind, rain_mm_per_h=rain)
    assert 0 <= angle < 90
    assert dry == math.inf if wind == 0 else dry > 0
    if angle > 0.1:
        assert dry * math.tan(math.radians(angle)) == approx(12.0, rel=1e-6)


@given(st.floats(0.1, 200.0))
def test_middle_drop_halves_the_water(rain):
    """Half the water comes in drops smaller than the middle one."""
    middle = raindrops.middle_drop_mm(rain)
    assert raindrops.share_in_smaller_drops(middle, rain_mm_per_h=rain) == approx(0.5)
    assert raindrops.share_in_smaller_drops(0.0, rain_mm_per_h=rain) == 0


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: lap.capillary_rise_plates_mm(0.0), "gap_mm: 0; expected a gap above 0 mm"),
        (lambda: lap.capillary_rise_plates_mm(math.nan), "gap_mm: nan"),
        (lambda: lap.capillary_rise_tube_mm(1.0, contact_angle_deg=200), "0 to 180 deg"),
        (lambda: lap.wind_pressure_pa(-1.0), "a wind of 0 m/s or more"),
        (lambda: lap.wind_head_mm(5.0, share=2.0), "a share of 0 to 1"),
        (lambda: lap.film_thickness_mm(1.0, tilt_deg=0.0), "above 0 and up to 90 deg"),
        (lambda: raindrops.fall_speed_m_per_s(50.0), "a raindrop of 0.1 to 7 mm"),
        (lambda: raindrops.middle_drop_mm(0.0), "rain above 0 mm/h"),
        (
            lambda: raindrops.sheltered_in(-1.0, wind_m_per_s=1.0, rain_mm_per_h=1.0),
            "an overhang of 0",
        ),
        (lambda: lap.capillary_reach_mm(1.0, tilt_deg=270), "0 to 180 deg"),
    ],
)
def test_bad_values_are_named(call, words):
    """A value out of range is named with what would be right."""
    with pytest.raises(InputError, match=words):
        call()
