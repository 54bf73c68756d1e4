"""Checks capillary rise against W-206, W-207 and W-208: worked problems of plates and tubes."""

from __future__ import annotations

import pytest
from pytest import approx

from weatherlap.water.lapphysics import capillary_rise_plates_mm, capillary_rise_tube_mm


def test_plates_one_millimetre_apart():
    """W-206: water of 0.075 N/m rises 1.5 cm between plates 1 mm apart (their g is 10 m/s2)."""
    rise_mm = capillary_rise_plates_mm(1.0, surface_tension_n_per_m=0.075)
    assert rise_mm * 9790 / 10000 == approx(15.0, abs=0.5)


@pytest.mark.parametrize(
    ("radius_mm", "rise_mm", "digit"), [(1.0, 14.6, 0.05), (10.0, 1.46, 0.005)]
)
def test_tubes_at_30_c(radius_mm, rise_mm, digit):
    """W-207: water of 0.0712 N/m and 995.7 kg/m3 rises 14.6 and 1.46 mm (their g is 9.8)."""
    rise = capillary_rise_tube_mm(2 * radius_mm, surface_tension_n_per_m=0.0712)
    assert rise * 9790 / (995.7 * 9.8) == approx(rise_mm, abs=digit)


def test_college_physics_problem_79():
    """W-208: water rises 2.97 cm in a tube of 0.500 mm radius."""
    assert capillary_rise_tube_mm(1.0) / 10 == approx(2.97, abs=0.005)
