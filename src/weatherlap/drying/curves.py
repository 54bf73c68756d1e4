"""What a material does with water, as one table along its wetting path.

Dry to full, a point on the path fixes water content, humidity, liquid potential and vapour
resistance at once. Above fibre saturation humidity stays at 100 % while water goes on rising, so
neither of the two could serve alone; the path position can, and every solve uses it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from weatherlap.drying.air import Array
from weatherlap.errors import InputError

STEPS = 1024
WATER, HUMIDITY, LIQUID, RESISTANCE = range(4)


@dataclass(frozen=True, slots=True, eq=False)
class Curves:
    """The wetting path of one material.

    ``table`` has one row a knot: water [kg/m3], humidity [-], liquid potential [kg/(m s)] and
    vapour resistivity [m s Pa/kg], then the rise of each to the next knot.
    """

    table: Array

    @property
    def full_kg_m3(self) -> float:
        """Water content at the wet end."""
        return float(self.table[-1, WATER])

    def position_of_humidity(self, humidity: float) -> float:
        """Path position at a humidity below 1. [knots]"""
        return self._position(HUMIDITY, humidity)

    def position_of_water(self, water_kg_m3: float) -> float:
        """Path position at a water content. [knots]"""
        return self._position(WATER, water_kg_m3)

    def water_at(self, position: Array) -> Array:
        """Water content at path positions. [kg/m3]"""
        knots = np.arange(self.table.shape[0], dtype=float)
        return np.asarray(np.interp(position, knots, self.table[:, WATER]))

    def _position(self, column: int, value: float) -> float:
        """First path position at which a rising column reaches a value."""
        rising = self.table[:, column]
        at = int(np.searchsorted(rising, value))
        if at == 0:
            return 0.0
        if at >= rising.size:
            return float(rising.size - 1)
        below, above = rising[at - 1], rising[at]
        return float(at - 1 + (value - below) / (above - below))


def make_curves(
    humidity: Array, *, water: Array, liquid_m2_s: Array, permeability: Array
) -> Curves:
    """The table of a material from points along its wetting path.

    Parameters
    ----------
    humidity : ndarray, shape (n,)
        Relative humidity, rising from 0, level only at 1. [-]
    water : ndarray, shape (n,)
        Water content, rising from 0. [kg/m3]
    liquid_m2_s : ndarray, shape (n,)
        Liquid diffusivity on the water content. [m2/s]
    permeability : ndarray, shape (n,)
        Vapour permeability. [kg/(m s Pa)]

    Returns
    -------
    Curves
        The path in equal steps of humidity plus filling.

    Raises
    ------
    InputError
        If water does not rise, humidity falls or leaves 0 to 1, or a permeability is not above 0.

    Sources
    -------
    D-026 : one path position for humidity and water.
    """
    rises = bool(np.all(np.diff(water) > 0.0))
    if not (rises and np.all(np.diff(humidity) >= 0.0) and 0.0 <= humidity[0] <= humidity[-1] <= 1):
        raise InputError(
            "sorption curve", "humidity or water that falls", "both rising, humidity 0 to 1"
        )
    if not (np.all(permeability > 0.0) and np.all(liquid_m2_s >= 0.0)):
        raise InputError("vapour permeability", "zero or less", "more than 0 kg/(m s Pa)")
    flow = np.diff(water) * 0.5 * (liquid_m2_s[1:] + liquid_m2_s[:-1])
    potential = np.concatenate(([0.0], np.cumsum(flow)))
    path = np.diff(humidity) + np.diff(water) / water[-1]
    along = np.concatenate(([0.0], np.cumsum(path)))
    at = np.linspace(0.0, along[-1], STEPS + 1)
    columns = (water, humidity, potential, 1.0 / permeability)
    values = np.stack([np.interp(at, along, c) for c in columns], axis=1)
    rise = np.diff(values, axis=0, append=values[-1:])
    rise[-1] = rise[-2]
    return Curves(np.ascontiguousarray(np.hstack([values, rise])))
