"""Checks against psychrolib, which carries the ASHRAE formulas for moist air."""

from __future__ import annotations

import numpy as np
import psychrolib
import pytest

from weatherlap.drying.air import dew_point_c, saturation_over_water_pa, saturation_pressure_pa

psychrolib.SetUnitSystem(psychrolib.SI)


@pytest.mark.parametrize("celsius", [-10.0, -1.0, 0.0, 5.0, 20.0, 35.0, 60.0])
def test_saturation_pressure(celsius: float) -> None:
    """Saturation pressure over ice and water agrees with the ASHRAE formulas within 0.4 %."""
    want = float(psychrolib.GetSatVapPres(celsius))
    assert saturation_pressure_pa(celsius) == pytest.approx(want, rel=0.004)


@pytest.mark.parametrize(("celsius", "humidity"), [(5.0, 0.9), (20.0, 0.5), (30.0, 0.7)])
def test_dew_point(celsius: float, humidity: float) -> None:
    """Dew point above freezing agrees within 0.05 K."""
    want = float(psychrolib.GetTDewPointFromRelHum(celsius, humidity))
    pressure = humidity * float(saturation_over_water_pa(np.array(celsius)))
    assert dew_point_c(pressure) == pytest.approx(want, abs=0.05)


def test_saturation_in_deep_cold() -> None:
    """At -25 C the two formulas over ice still agree within 1 %."""
    assert saturation_pressure_pa(-25.0) == pytest.approx(
        float(psychrolib.GetSatVapPres(-25.0)), rel=0.01
    )
