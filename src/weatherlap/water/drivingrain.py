"""Driving rain on walls by ASHRAE 160 and by ISO 15927-3."""

from __future__ import annotations

import math
from bisect import bisect_left

import numpy as np
from numpy.typing import ArrayLike, NDArray

from weatherlap.errors import InputError

EXPOSURE_ROWS: tuple[tuple[float, dict[str, float]], ...] = (
    (10.0, {"severe": 1.3, "medium": 1.0, "sheltered": 0.7}),
    (15.0, {"severe": 1.3, "medium": 1.1, "sheltered": 0.8}),
    (20.0, {"severe": 1.4, "medium": 1.2, "sheltered": 0.9}),
    (30.0, {"severe": 1.5, "medium": 1.3, "sheltered": 1.1}),
    (40.0, {"severe": 1.5, "medium": 1.4, "sheltered": 1.2}),
    (50.0, {"severe": 1.5, "medium": 1.5, "sheltered": 1.3}),
    (math.inf, {"severe": 1.5, "medium": 1.5, "sheltered": 1.5}),
)
DEPOSITION = {"steep-roof": 0.35, "low-roof": 0.5, "runoff": 1.0}
ASHRAE_FACTOR = 0.2
TERRAIN = {
    "open": (0.17, 0.01, 2.0),
    "farmland": (0.19, 0.05, 4.0),
    "suburb": (0.22, 0.3, 8.0),
    "town": (0.24, 1.0, 16.0),
}
OBSTACLE_M = (8.0, 15.0, 25.0, 40.0, 60.0, 80.0, 100.0, 120.0)
OBSTACLE_FACTOR = (0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0)
SPELL_GAP_H = 96
SPELL_PERCENTILE = 67.0


def _not_negative(name: str, value: float) -> None:
    if not (value >= 0 and math.isfinite(value)):
        raise InputError(name, f"{value:g}", "a finite value of 0 or more")


def exposure_factor(exposure: str, *, height_m: float) -> float:
    """Exposure factor F_E of a wall.

    Parameters
    ----------
    exposure : str
        "severe", "medium" or "sheltered".
    height_m : float
        Height of the building. [m]

    Returns
    -------
    float
        F_E. [-]

    Raises
    ------
    InputError
        If the exposure is another or the height negative.

    Sources
    -------
    W-001 : table of F_E.
    """
    _not_negative("height_m", height_m)
    row = next(row for top, row in EXPOSURE_ROWS if height_m < top)
    if exposure not in row:
        raise InputError("exposure", repr(exposure), '"severe", "medium" or "sheltered"')
    return row[exposure]


def ashrae_driving_rain_mm_per_h(
    rain_mm_per_h: float,
    *,
    wind_m_per_s: float,
    exposure: float = 1.0,
    deposition: float = 1.0,
    angle_deg: float = 0.0,
) -> float:
    """Driving rain on a wall by ASHRAE 160.

    Parameters
    ----------
    rain_mm_per_h : float
        Rain on level ground. [mm/h]
    wind_m_per_s : float
        Hourly wind at 10 m. [m/s]
    exposure : float
        F_E. [-]
    deposition : float
        F_D: 0.35 below a steep roof, 0.5 below a low one, 1 where run-off comes down. [-]
    angle_deg : float
        Between the wind and the wall's normal. [deg]

    Returns
    -------
    float
        Water on the wall; 1 mm/h is 1 kg/(m2 h). [mm/h]

    Raises
    ------
    InputError
        If the rain or the wind is negative.

    Sources
    -------
    W-001 : r = F_E F_D F_L U cos(angle) r_h, F_L = 0.2.
    """
    _not_negative("rain_mm_per_h", rain_mm_per_h)
    _not_negative("wind_m_per_s", wind_m_per_s)
    square_on = max(0.0, math.cos(math.radians(angle_deg)))
    return exposure * deposition * ASHRAE_FACTOR * wind_m_per_s * square_on * rain_mm_per_h


def iso_driving_rain_mm_per_h(
    rain_mm_per_h: float, *, wind_m_per_s: float, angle_deg: float = 0.0
) -> float:
    """Driving rain through free wind in one hour by ISO 15927-3.

    Parameters
    ----------
    rain_mm_per_h : float
        Rain of the hour. [mm/h]
    wind_m_per_s : float
        Hourly wind at 10 m. [m/s]
    angle_deg : float
        Between the wind and the wall's normal. [deg]

    Returns
    -------
    float
        Airfield driving rain. [mm/h]

    Raises
    ------
    InputError
        If the rain or the wind is negative.

    Sources
    -------
    W-002 : (2/9) v r^(8/9) cos(D - th). W-004 : the older 0.22 v r^0.88.
    """
    _not_negative("rain_mm_per_h", rain_mm_per_h)
    _not_negative("wind_m_per_s", wind_m_per_s)
    square_on = max(0.0, math.cos(math.radians(angle_deg)))
    return float(2 / 9 * wind_m_per_s * rain_mm_per_h ** (8 / 9) * square_on)


def _hourly(
    wind_m_per_s: ArrayLike, wind_from_deg: ArrayLike, rain_mm: ArrayLike, facing_deg: float
) -> NDArray[np.float64]:
    """Driving rain of each hour on a wall. [mm]"""
    wind, bearing, rain = (
        np.asarray(a, dtype=np.float64) for a in (wind_m_per_s, wind_from_deg, rain_mm)
    )
    if not wind.shape == bearing.shape == rain.shape or wind.ndim != 1:
        raise InputError(
            "hourly wind, bearing and rain",
            f"shapes {wind.shape}, {bearing.shape}, {rain.shape}",
            "three rows of equal length",
        )
    if not (np.isfinite(wind).all() and np.isfinite(bearing).all() and np.isfinite(rain).all()):
        raise InputError("hourly wind, bearing and rain", "gaps or NaN", "finite numbers")
    if (wind < 0).any() or (rain < 0).any():
        raise InputError("hourly wind and rain", "a negative value", "0 or more")
    square_on = np.maximum(0.0, np.cos(np.radians(bearing - facing_deg)))
    return np.asarray(2 / 9 * wind * rain ** (8 / 9) * square_on)


def airfield_annual_index(
    wind_m_per_s: ArrayLike,
    *,
    wind_from_deg: ArrayLike,
    rain_mm: ArrayLike,
    facing_deg: float,
    years: float,
) -> float:
    """ISO 15927-3 airfield annual index of a wall from hourly records.

    Parameters
    ----------
    wind_m_per_s : array-like, shape (n_hours,)
        Hourly mean wind at 10 m. [m/s]
    wind_from_deg : array-like, shape (n_hours,)
        Bearing that it comes from. [deg]
    rain_mm : array-like, shape (n_hours,)
        Rain of each hour. [mm]
    facing_deg : float
        Bearing of the wall's outward normal. [deg]
    years : float
        Years that the records cover: at least 10, better 20 to 30. [-]

    Returns
    -------
    float
        Water in a usual year. [L/m2]

    Raises
    ------
    InputError
        If the rows differ in length, hold gaps or negative values, or years is not above 0.

    Limits
    ------
    Not where over a quarter of the rain comes in severe thunderstorms, nor for snow and hail.

    Sources
    -------
    W-002 : I_A = (2/9) sum(v r^(8/9) cos(D - th)) / N over hours with cos > 0.
    """
    if not (years > 0 and math.isfinite(years)):
        raise InputError("years", f"{years:g}", "more than 0 years of records")
    return float(_hourly(wind_m_per_s, wind_from_deg, rain_mm, facing_deg).sum() / years)


def airfield_spell_index(
    wind_m_per_s: ArrayLike,
    *,
    wind_from_deg: ArrayLike,
    rain_mm: ArrayLike,
    facing_deg: float,
    hours_in_year: int = 8766,
) -> float:
    """ISO 15927-3 airfield spell index: driving rain of the worst spell in about three years.

    Parameters
    ----------
    wind_m_per_s, wind_from_deg, rain_mm : array-like, shape (n_hours,)
        Hourly records without a break. [m/s, deg, mm]
    facing_deg : float
        Bearing of the wall's outward normal. [deg]
    hours_in_year : int
        Hours after which a new year is counted. [h]

    Returns
    -------
    float
        Water of the spell. [L/m2]

    Raises
    ------
    InputError
        If the rows differ in length, are empty, or hold gaps or negative values.

    Sources
    -------
    W-002 : a spell ends after 96 h without driving rain; 67th percentile of yearly maxima.
    """
    hourly = _hourly(wind_m_per_s, wind_from_deg, rain_mm, facing_deg)
    if hourly.size == 0 or hours_in_year < 1:
        raise InputError("hourly records", f"{hourly.size} hours", "at least one year of hours")
    wet = np.flatnonzero(hourly > 0)
    worst = np.zeros(-(-hourly.size // hours_in_year))
    if wet.size == 0:
        return 0.0
    starts = np.flatnonzero(np.diff(wet, prepend=-SPELL_GAP_H - 2) > SPELL_GAP_H)
    sums = np.add.reduceat(hourly[wet], starts)
    np.maximum.at(worst, wet[starts] // hours_in_year, sums)
    return float(np.percentile(worst, SPELL_PERCENTILE))


def roughness_coefficient(terrain: str, *, height_m: float) -> float:
    """Terrain roughness coefficient C_R.

    Parameters
    ----------
    terrain : str
        "open", "farmland", "suburb" or "town" (terrain I to IV).
    height_m : float
        Height above ground. [m]

    Returns
    -------
    float
        C_R. [-]

    Raises
    ------
    InputError
        If the terrain is another or the height negative.

    Sources
    -------
    W-002 : K_R ln(z/z0), from z_min on.
    """
    _not_negative("height_m", height_m)
    if terrain not in TERRAIN:
        raise InputError("terrain", repr(terrain), "one of " + ", ".join(TERRAIN))
    k, z0, lowest = TERRAIN[terrain]
    return k * math.log(max(height_m, lowest) / z0)


def obstruction_factor(distance_m: float) -> float:
    """Obstruction factor O by the distance to the nearest obstacle of like height.

    Parameters
    ----------
    distance_m : float
        Distance; closer than 4 m counts as 4 m. [m]

    Returns
    -------
    float
        O. [-]

    Raises
    ------
    InputError
        If the distance is negative.

    Sources
    -------
    W-002 : table of O.
    """
    _not_negative("distance_m", distance_m)
    return OBSTACLE_FACTOR[bisect_left(OBSTACLE_M, distance_m)]


def wall_index(
    airfield_index: float,
    *,
    roughness: float,
    topography: float = 1.0,
    obstruction: float = 1.0,
    wall: float = 1.0,
) -> float:
    """ISO 15927-3 wall index from an airfield index.

    Parameters
    ----------
    airfield_index : float
        Annual or spell index of the airfield. [L/m2]
    roughness, topography, obstruction, wall : float
        C_R, C_T, O and W. [-]

    Returns
    -------
    float
        Water on the wall. [L/m2]

    Raises
    ------
    InputError
        If a value is negative.

    Sources
    -------
    W-002 : I_WA = I_A C_R C_T O W.
    """
    for name, value in (("airfield_index", airfield_index), ("roughness", roughness)):
        _not_negative(name, value)
    return airfield_index * roughness * topography * obstruction * wall
