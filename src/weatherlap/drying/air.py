"""Moist air: pressures, dew point, the films at a face and vapour flow through still air."""

from __future__ import annotations

from typing import TypeAlias, overload

import numpy as np
from numpy.typing import NDArray

from weatherlap.errors import InputError

Array: TypeAlias = NDArray[np.float64]

GAS_CONSTANT_VAPOUR = 461.5
KELVIN = 273.15
LATENT_HEAT_J_PER_KG = 2.5e6
HEAT_OF_WATER_J_PER_KG_K = 4187.0
HEAT_OF_AIR_J_PER_M3_K = 1210.0
SECONDS_PER_HOUR = 3600.0
STILL_AIR_PERMEABILITY = 2.0e-10
PERM_KG_PER_S_M2_PA = 57.2e-12
FILM_LEWIS_S_PER_M_PER_W = 7.0e-9
SURFACE_RADIATION_W_PER_M2_K = 5.0


@overload
def saturation_pressure_pa(temperature_c: float) -> float: ...
@overload
def saturation_pressure_pa(temperature_c: Array) -> Array: ...
def saturation_pressure_pa(temperature_c: float | Array) -> float | Array:
    """Vapour pressure at saturation, over ice below the freezing point.

    Parameters
    ----------
    temperature_c : float or ndarray
        Temperature of the air. [C]

    Returns
    -------
    float or ndarray
        Saturation pressure. [Pa]

    Sources
    -------
    D-008 : the two formulas of the standard, joined at 0 C.
    """
    t = np.asarray(temperature_c, dtype=float)
    over_ice = 610.5 * np.exp(21.875 * t / (265.5 + t))
    pressure = np.where(t >= 0.0, saturation_over_water_pa(t), over_ice)
    return float(pressure) if pressure.ndim == 0 else pressure


def saturation_over_water_pa(temperature_c: Array) -> Array:
    """Vapour pressure at saturation over liquid water, also below the freezing point.

    Weather stations give relative humidity and dew point over water at every temperature.

    Parameters
    ----------
    temperature_c : ndarray
        Temperature. [C]

    Returns
    -------
    ndarray
        Saturation pressure. [Pa]

    Sources
    -------
    D-008 : formula for 0 C and above, carried on below.
    """
    t = np.asarray(temperature_c, dtype=float)
    return np.asarray(610.5 * np.exp(17.269 * t / (237.3 + t)), dtype=float)


def vapour_pressure_pa(temperature_c: Array, humidity_pct: Array) -> Array:
    """Vapour pressure of outdoor air from a station's temperature and relative humidity.

    Held at the saturation pressure over ice where frost would form.

    Parameters
    ----------
    temperature_c : ndarray
        Air temperature. [C]
    humidity_pct : ndarray
        Relative humidity over water. [%]

    Returns
    -------
    ndarray
        Vapour pressure. [Pa]

    Sources
    -------
    D-008 : saturation formulas.
    """
    t = np.asarray(temperature_c, dtype=float)
    over_water = saturation_over_water_pa(t) * np.asarray(humidity_pct, dtype=float) / 100.0
    return np.asarray(np.minimum(over_water, saturation_pressure_pa(t)))


def dew_point_c(pressure_pa: float) -> float:
    """Temperature at which air of a vapour pressure is saturated over water.

    Parameters
    ----------
    pressure_pa : float
        Vapour pressure. [Pa]

    Returns
    -------
    float
        Dew point. [C]

    Raises
    ------
    InputError
        If the pressure is not above zero.

    Sources
    -------
    D-008 : formula for 0 C and above, turned round.
    """
    if not pressure_pa > 0.0:
        raise InputError("vapour pressure", f"{pressure_pa:g} Pa", "more than 0 Pa")
    ratio = float(np.log(pressure_pa / 610.5))
    return 237.3 * ratio / (17.269 - ratio)


def permeability_from_perm(permeance_perm: float, *, thickness_m: float) -> float:
    """Vapour permeability of a sheet from its permeance in perm.

    Parameters
    ----------
    permeance_perm : float
        Permeance. [perm]
    thickness_m : float
        Thickness. [m]

    Returns
    -------
    float
        Permeability. [kg/(m s Pa)]

    Sources
    -------
    D-019 : 1 perm is 57.2 ng/(Pa s m2).
    """
    return permeance_perm * PERM_KG_PER_S_M2_PA * thickness_m


def outside_film_w_per_m2_k(wind_m_s: Array) -> Array:
    """Convective film outside: 4 W/m2K in still air and 4 more for each m/s.

    Parameters
    ----------
    wind_m_s : ndarray
        Wind near the face. [m/s]

    Returns
    -------
    ndarray
        Convective film coefficient. [W/(m2 K)]

    Sources
    -------
    D-021 : annex on surface resistances.
    """
    return 4.0 + 4.0 * np.asarray(wind_m_s, dtype=float)


def vapour_film_s_per_m(convective_w_per_m2_k: Array) -> Array:
    """Vapour film coefficient that goes with a convective heat film.

    Parameters
    ----------
    convective_w_per_m2_k : ndarray
        Convective film coefficient. [W/(m2 K)]

    Returns
    -------
    ndarray
        Vapour film coefficient. [kg/(m2 s Pa)]

    Sources
    -------
    D-029 : likeness of heat and vapour exchange, 7e-9 s/m for each W/(m2 K).
    """
    return FILM_LEWIS_S_PER_M_PER_W * np.asarray(convective_w_per_m2_k, dtype=float)


def venting_permeance(air_changes_per_h: float, *, depth_m: float) -> float:
    """Vapour permeance to outdoors that the air changes of a cavity amount to.

    Parameters
    ----------
    air_changes_per_h : float
        Air changes of the cavity with outdoors. [1/h]
    depth_m : float
        Depth of the cavity. [m]

    Returns
    -------
    float
        Permeance. [kg/(m2 s Pa)]

    Sources
    -------
    D-020 : n d / (R_v T 3600) at 20 C.
    """
    volume_per_s = air_changes_per_h * depth_m / SECONDS_PER_HOUR
    return volume_per_s / (GAS_CONSTANT_VAPOUR * (KELVIN + 20.0))
