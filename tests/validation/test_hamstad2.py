"""Checks against HAMSTAD benchmark 2 (source D-013): one layer drying at even temperature.

With a constant moisture diffusivity and faces held, the exact answer is a sine series; the
numbers are that series (start 95 %, faces 45 and 65 %, 200 mm, 6e-10 m2/s).
"""

from __future__ import annotations

import numpy as np
import pytest

from weatherlap.drying.air import saturation_pressure_pa
from weatherlap.drying.curves import Curves, make_curves
from weatherlap.drying.grid import Slab, graded_widths_m, lay_cells
from weatherlap.drying.march import Airs, State, Steps, march

DIFFUSIVITY, THICK_M = 6e-10, 0.2
DEPTHS = (0.01, 0.02, 0.04, 0.06, 0.10, 0.14, 0.16, 0.18, 0.19)
AFTER = {
    100: (43.64, 62.86, 81.23, 84.52, 84.77, 84.56, 81.82, 66.54, 50.56, 74.86),
    1000: (27.29, 34.84, 48.57, 59.40, 69.46, 63.00, 54.36, 43.13, 36.91, 53.49),
}


def sorbs(humidity: np.ndarray) -> np.ndarray:
    """Sorption of the benchmark. [kg/m3]"""
    return 116.0 / (1.0 - np.log(humidity) / 0.118) ** 0.869


def benchmark_curves() -> Curves:
    """The benchmark's layer: all moisture moves by the constant diffusivity."""
    humidity = np.concatenate(([0.0], np.geomspace(1e-6, 1.0, 3000)))
    water = np.concatenate(([0.0], sorbs(humidity[1:])))
    return make_curves(
        humidity,
        water=water,
        liquid_m2_s=np.full(water.size, DIFFUSIVITY),
        permeability=np.full(water.size, 1e-15),
    )


def run(hours: int, *, count: int = 80) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Depth, width and water content of the slices after so many hours, held at 20 C."""
    curves = benchmark_curves()
    widths = graded_widths_m(THICK_M, count=count)
    cells = lay_cells([Slab("layer", curves, widths, 8.0e5, 1e3)])
    one = np.ones(hours)
    ps = saturation_pressure_pa(20.0)
    airs = Airs(
        20.0 * one, 0.45 * ps * one, 1e6 * one, 1e-3 * one, 0.0 * one, 20.0 * one,
        0.65 * ps * one, 1e6 * one, 1e-3 * one,
    )  # fmt: skip
    start = State(np.full(count, curves.position_of_humidity(0.95)), np.full(count, 20.0))
    course = march(cells, airs=airs, start=start, steps=Steps(water_tolerance_kg_m3=0.5))
    return cells.centres_m(), widths, course.water_kg_m3


@pytest.mark.parametrize("hours", sorted(AFTER))
def test_water_profile(hours: int) -> None:
    """Benchmark 2: water content at every depth is within 0.2 kg/m3 (start 84.77)."""
    depth, _, water = run(hours)
    *profile, _ = AFTER[hours]
    got = np.interp(DEPTHS, depth, water)
    assert got == pytest.approx(np.array(profile), abs=0.2)


@pytest.mark.parametrize("hours", sorted(AFTER))
def test_mean_water(hours: int) -> None:
    """Benchmark 2: the mean water content is right to 0.05 kg/m3."""
    _, widths, water = run(hours)
    assert float(np.average(water, weights=widths)) == pytest.approx(AFTER[hours][-1], abs=0.05)
