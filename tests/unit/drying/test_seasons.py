"""A year of weather that begins on another day is the same year, with its sun in its place."""

from __future__ import annotations

import numpy as np
import pytest

from weatherlap.drying.climate import Climate, from_hour
from weatherlap.drying.model import Wall
from weatherlap.drying.sides import wall_airs

BEGINS = 24 * 200


def test_the_sun_goes_round_with_the_weather(boston: Climate, vented_wall: Wall) -> None:
    """Sun and films on the wall of a year from July on are those of the plain year, turned."""
    plain = wall_airs(vented_wall, climate=boston)
    turned = wall_airs(vented_wall, climate=from_hour(boston, first_hour=BEGINS, hours=8760))
    assert np.allclose(turned.gain_w_m2, np.roll(plain.gain_w_m2, -BEGINS))
    assert np.allclose(turned.outside_film_w, np.roll(plain.outside_film_w, -BEGINS))


@pytest.mark.parametrize("steps", [(100, 300), (8000, 2000)])
def test_begun_twice_is_begun_once(boston: Climate, steps: tuple[int, int]) -> None:
    """Turning by one stretch and then another is turning by both, past the end of the year too."""
    once = from_hour(boston, first_hour=sum(steps), hours=48)
    whole = from_hour(boston, first_hour=steps[0], hours=8760)
    twice = from_hour(whole, first_hour=steps[1], hours=48)
    assert once.first_hour == twice.first_hour == sum(steps) % 8760
    assert np.array_equal(once.temperature_c, twice.temperature_c)
