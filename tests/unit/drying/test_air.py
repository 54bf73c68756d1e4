"""Moist air."""

from __future__ import annotations

import numpy as np
import pytest

from weatherlap.drying import air
from weatherlap.errors import InputError


def test_saturation_joins_at_freezing() -> None:
    """The formulas over ice and water meet at 0 C, and ice holds less below it."""
    assert air.saturation_pressure_pa(-1e-9) == pytest.approx(air.saturation_pressure_pa(0.0))
    assert air.saturation_pressure_pa(-10.0) < float(air.saturation_over_water_pa(np.array(-10.0)))


def test_vapour_pressure_stops_at_frost() -> None:
    """Outdoor air at 100 % over water in the cold is held at saturation over ice."""
    pressure = air.vapour_pressure_pa(np.array([-15.0, 15.0]), np.array([100.0, 50.0]))
    assert pressure[0] == pytest.approx(air.saturation_pressure_pa(-15.0))
    assert pressure[1] == pytest.approx(0.5 * air.saturation_pressure_pa(15.0))


@pytest.mark.parametrize("celsius", [1.0, 12.0, 25.0])
def test_dew_point_turns_saturation_round(celsius: float) -> None:
    """The dew point of saturated air is its temperature."""
    assert air.dew_point_c(air.saturation_pressure_pa(celsius)) == pytest.approx(celsius)


def test_dew_point_of_dry_air_is_refused() -> None:
    """No vapour at all has no dew point."""
    with pytest.raises(InputError, match="vapour pressure: 0 Pa; expected more than 0 Pa"):
        air.dew_point_c(0.0)


def test_venting_of_the_fact_sheet() -> None:
    """100 air changes an hour of a 10 mm gap pass 2.05e-9 kg/(m2 s Pa), about 36 perm."""
    permeance = air.venting_permeance(100.0, depth_m=0.01)
    assert permeance == pytest.approx(2.05e-9, rel=0.003)
    assert permeance / air.PERM_KG_PER_S_M2_PA == pytest.approx(36.0, abs=0.3)


def test_one_perm_is_as_good_as_three_and_a_half_metres_of_air() -> None:
    """A sheet of 1 perm has an air layer of 3.5 m."""
    permeability = air.permeability_from_perm(1.0, thickness_m=0.001)
    air_layer_m = air.STILL_AIR_PERMEABILITY / permeability * 0.001
    assert air_layer_m == pytest.approx(3.5, abs=0.01)


def test_films_grow_with_wind() -> None:
    """Heat and vapour films rise together with the wind."""
    film = air.outside_film_w_per_m2_k(np.array([0.0, 5.0]))
    assert film == pytest.approx([4.0, 24.0])
    assert air.vapour_film_s_per_m(film) == pytest.approx(7e-9 * film)
