"""Checks film thickness against W-209: a falling film of water at 20 C with Re = 10."""

from __future__ import annotations

from pytest import approx

from weatherlap.water.lapphysics import film_reynolds, film_thickness_mm

VISCOSITY_M2_PER_S = 1.0019e-3 / 998.2
FLOW_M2_PER_S = 10 * VISCOSITY_M2_PER_S / 4


def test_flow_of_the_film():
    """Problem 2A.1a: the film carries 0.727 gal/h for each foot of wall."""
    assert film_reynolds(FLOW_M2_PER_S, viscosity_m2_per_s=VISCOSITY_M2_PER_S) == approx(10.0)
    gal_per_h_ft = FLOW_M2_PER_S * 0.3048 * 3600 * 1000 / 3.785411784
    assert gal_per_h_ft == approx(0.727, abs=0.0005)


def test_thickness_of_the_film():
    """Problem 2A.1b: the film is 0.00361 in thick."""
    thick_mm = film_thickness_mm(FLOW_M2_PER_S, tilt_deg=90, viscosity_m2_per_s=VISCOSITY_M2_PER_S)
    assert thick_mm / 25.4 == approx(0.00361, abs=0.000005)
