"""Checks against Crank's series for a drying slab (source D-007), and the march against it."""

from __future__ import annotations

import math

import numpy as np
import pytest

from weatherlap.drying.air import saturation_pressure_pa
from weatherlap.drying.curves import make_curves
from weatherlap.drying.grid import Slab, lay_cells
from weatherlap.drying.march import Airs, State, Steps, march
from weatherlap.drying.wood import slab_wetness_left

THICK_M, DIFFUSIVITY, FULL = 0.038, 2.0e-10, 100.0
HALF_TIME_S = 0.0492 * THICK_M**2 / DIFFUSIVITY


def linear_slab(cells_count: int, hours: int, longest_s: float) -> float:
    """Share of the excess left in a slab whose water is a straight line in humidity."""
    humidity = np.linspace(0.0, 1.0, 101)
    water = FULL * humidity
    pressure = saturation_pressure_pa(20.0)
    permeability = DIFFUSIVITY * FULL / pressure
    curves = make_curves(
        humidity,
        water=water,
        liquid_m2_s=np.zeros(101),
        permeability=np.full(101, permeability),
    )
    widths = np.full(cells_count, THICK_M / cells_count)
    cells = lay_cells([Slab("slab", curves, widths, 1e9, 1e3)])
    one = np.ones(hours)
    airs = Airs(
        20.0 * one, 0.3 * pressure * one, 1e6 * one, 1.0 * one, 0.0 * one, 20.0 * one,
        0.3 * pressure * one, 1e6 * one, 1.0 * one,
    )  # fmt: skip
    start = State(
        np.full(cells_count, curves.position_of_humidity(0.8)), np.full(cells_count, 20.0)
    )
    steps = Steps(
        water_tolerance_kg_m3=1e9, longest_s=longest_s, loose_kg_m2=1e-10, loose_j_m2=1e-3
    )
    water = march(cells, airs=airs, start=start, steps=steps).water_kg_m3
    return float((water.mean() / FULL - 0.3) / 0.5)


def test_half_time() -> None:
    """Half of the excess is left after 0.0492 L2 / D."""
    left = slab_wetness_left(HALF_TIME_S, thickness_m=THICK_M, diffusivity_m2_s=DIFFUSIVITY)
    assert left == pytest.approx(0.5, abs=0.0005)


def test_first_term_rules_late() -> None:
    """Late in drying only the first term of the series is left."""
    seconds = 5.0 * HALF_TIME_S
    rate = DIFFUSIVITY * (math.pi / THICK_M) ** 2
    want = 8.0 / math.pi**2 * math.exp(-rate * seconds)
    got = slab_wetness_left(seconds, thickness_m=THICK_M, diffusivity_m2_s=DIFFUSIVITY)
    assert got == pytest.approx(want, rel=1e-6)


@pytest.mark.parametrize("hours", [24, 72, 200])
def test_march_follows_the_series(hours: int) -> None:
    """With a straight sorption line the march gives the series, to half a percent of the start."""
    want = slab_wetness_left(3600.0 * hours, thickness_m=THICK_M, diffusivity_m2_s=DIFFUSIVITY)
    assert linear_slab(60, hours, 900.0) == pytest.approx(want, abs=0.005)


def test_order_in_space_is_two() -> None:
    """Halving the slices takes three quarters of the error away."""
    hours, longest = 72, 3600.0 / 64.0
    want = slab_wetness_left(3600.0 * hours, thickness_m=THICK_M, diffusivity_m2_s=DIFFUSIVITY)
    coarse, fine = (abs(linear_slab(n, hours, longest) - want) for n in (8, 16))
    assert math.log2(coarse / fine) == pytest.approx(2.0, abs=0.35)


def test_order_in_time_is_one() -> None:
    """Halving the step takes half of the error away."""
    hours = 24
    reference = linear_slab(24, hours, 3600.0 / 256.0)
    coarse, fine = (abs(linear_slab(24, hours, s) - reference) for s in (3600.0, 1800.0))
    assert math.log2(coarse / fine) == pytest.approx(1.0, abs=0.2)
