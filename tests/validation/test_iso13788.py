"""Checks against ISO 13788 (source D-008): saturation pressure and the monthly method.

The wall is a worked case by hand from the standard's steps (the standard's own annex was not at
hand): gypsum 12.5 mm, fibre 140 mm, wood panel 12 mm; inside 20 C 50 %, outside -5 C 80 %.
"""

from __future__ import annotations

import numpy as np
import pytest

from weatherlap.drying.air import saturation_pressure_pa
from weatherlap.drying.condensation import (
    Month,
    Outcome,
    Ply,
    condensation_year,
    cut,
    interface_c,
    month_rates,
)

WALL = (
    Ply("panel", 0.012, 0.13, 50.0),
    Ply("fibre", 0.14, 0.04, 1.0),
    Ply("gypsum", 0.0125, 0.25, 8.0),
)


def month(outside_c: float, days: float = 30.0) -> Month:
    """Outside at 80 %, inside 20 C and 50 %."""
    return Month(
        outside_c,
        0.8 * saturation_pressure_pa(outside_c),
        20.0,
        0.5 * saturation_pressure_pa(20.0),
        days,
    )


@pytest.mark.parametrize(
    ("celsius", "pascal"), [(-10, 259.3), (0, 610.5), (10, 1227.3), (20, 2337.0), (30, 4240.5)]
)
def test_saturation_pressure(celsius: float, pascal: float) -> None:
    """The two formulas give the tabled pressures to a tenth of a pascal."""
    assert saturation_pressure_pa(float(celsius)) == pytest.approx(pascal, abs=0.06)


def test_resistance_and_interface_temperatures() -> None:
    """Resistance 3.812 m2K/W; 19.15, 18.82, -4.13 and -4.74 C at the interfaces."""
    interfaces = cut(WALL)
    assert interfaces.total_m2k_w == pytest.approx(3.812, abs=0.0005)
    celsius = interface_c(interfaces, month=month(-5.0))
    named = dict(zip(interfaces.names, celsius, strict=True))
    assert named["inner face of gypsum"] == pytest.approx(19.15, abs=0.005)
    assert named["inner face of fibre"] == pytest.approx(18.82, abs=0.005)
    assert named["inner face of panel"] == pytest.approx(-4.13, abs=0.005)
    assert named["outer face"] == pytest.approx(-4.74, abs=0.005)


def test_rate_of_one_cold_month() -> None:
    """6.137e-7 in, 3.702e-8 out: 1,495 g/m2 in 30 days behind the panel, nowhere else."""
    interfaces = cut(WALL)
    gain, pressure = month_rates(interfaces, month=month(-5.0), wet=[False] * len(interfaces.names))
    at = interfaces.names.index("inner face of panel")
    assert pressure[at] == pytest.approx(432.0, abs=0.05)
    assert gain[at] == pytest.approx(6.137e-7 - 3.702e-8, abs=1e-10)
    assert 30.0 * 86400.0 * gain[at] * 1000.0 == pytest.approx(1495.0, abs=1.0)
    assert np.delete(gain, at) == pytest.approx(0.0)


def test_year_dries_in_summer() -> None:
    """Through a year of mild summers the condensate of winter is gone before autumn."""
    outside = (-5.0, -3.0, 2.0, 8.0, 14.0, 19.0, 22.0, 21.0, 16.0, 10.0, 4.0, -2.0)
    year = condensation_year(WALL, months=[month(t) for t in outside])
    assert year.outcome is Outcome.DRIES
    assert sum(year.held_kg_m2[-1]) == 0.0
    assert year.first_month == 10


def test_two_layer_wall_by_hand() -> None:
    """Steady flow through two layers without condensation: pressures by the two s_d, by hand."""
    plies = (Ply("out", 0.1, 1.0, 10.0), Ply("in", 0.1, 1.0, 30.0))
    interfaces = cut(plies)
    mild = Month(10.0, 800.0, 20.0, 1200.0, 30.0)
    gain, pressure = month_rates(interfaces, month=mild, wet=[False] * 3)
    assert pressure == pytest.approx([800.0, 900.0, 1200.0])
    assert gain == pytest.approx(0.0)
