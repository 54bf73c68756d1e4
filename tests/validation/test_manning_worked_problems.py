"""Checks Manning's formula against W-201, W-202 and W-203: worked problems of flow in channels."""

from __future__ import annotations

import math

import pytest
from pytest import approx

from weatherlap.water.hydraulics import box_section, half_round_section, manning_m3_per_s

M3_PER_FT3 = 0.3048**3


@pytest.mark.parametrize(
    ("width_m", "depth_m", "slope", "radius_m", "flow_m3_per_s", "digit"),
    [
        pytest.param(5.0, 0.8, 0.0025, 0.606, 9.548, 0.005, id="spring-2007"),
        pytest.param(5.0, 1.5, 0.003, 0.9375, 26.23, 0.01, id="spring-2008"),
        pytest.param(6.0, 1.6, 0.0025, 1.043, 32.91, 0.015, id="fall-2008"),
        pytest.param(6.0, 1.2, 0.002, 0.857, 19.368, 0.005, id="spring-2006"),
    ],
)
def test_rectangular_channel(width_m, depth_m, slope, radius_m, flow_m3_per_s, digit):
    """W-201: a box channel with n 0.015 carries the printed flow at the printed radius.

    The problems round the radius and the velocity to three decimals before they multiply by the
    area, so their last digit of flow is good to that rounding only.
    """
    filled = box_section(width_m)(depth_m)
    assert filled.radius_m == approx(radius_m, abs=0.0005)
    assert manning_m3_per_s(filled, slope=slope, n=0.015) == approx(flow_m3_per_s, abs=digit)


def test_pipe_of_half_a_foot():
    """W-202: a 0.5 ft pipe at 5 percent, n 0.02, carries 0.82 ft3/s full, half of it half full."""
    half = half_round_section(0.5 * 0.3048)(0.25 * 0.3048)
    flow = manning_m3_per_s(half, slope=0.05, n=0.02)
    assert 2 * flow / M3_PER_FT3 == approx(0.82, abs=0.005)


def test_pipe_of_eight_inches():
    """W-203: an 8 in pipe at 0.5 percent, n 0.013, carries 0.854 ft3/s; radius 0.167 ft."""
    half = half_round_section(8 * 0.0254)(4 * 0.0254)
    assert half.radius_m / 0.3048 == approx(0.167, abs=0.0005)
    assert half.area_m2 / 0.3048**2 == approx(0.349 / 2, abs=0.0005)
    flow = manning_m3_per_s(half, slope=0.005, n=0.013)
    assert 2 * flow / M3_PER_FT3 == approx(0.854, abs=0.0005)
    assert math.isclose(half.top_m, 8 * 0.0254, rel_tol=1e-9)
