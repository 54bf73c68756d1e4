"""A year of outdoor weather, hour by hour, checked and with its gaps filled in the open."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from weatherlap.drying.air import Array
from weatherlap.errors import InputError

HOURS_A_YEAR = 8760
LONGEST_GAP_H = 6
WETTEST_HOUR_MM = 150.0


@dataclass(frozen=True, slots=True, eq=False)
class Climate:
    """Weather hour by hour from ``first_hour`` of the year, local standard time.

    ``sun_global_w_m2`` is on the level, ``sun_direct_w_m2`` on a plane facing the sun,
    ``sun_diffuse_w_m2`` from the sky on the level; ``wind_from_deg`` is a compass bearing, not a
    number where unknown. ``repairs`` says in words what was filled or left out.
    """

    place: str
    latitude_deg: float
    temperature_c: Array
    humidity_pct: Array
    wind_m_s: Array
    wind_from_deg: Array
    rain_mm_h: Array
    sun_global_w_m2: Array
    sun_direct_w_m2: Array
    sun_diffuse_w_m2: Array
    repairs: tuple[str, ...]
    source_keys: tuple[str, ...]
    first_hour: int = 0

    @property
    def hours(self) -> int:
        """How many hours it has."""
        return int(self.temperature_c.size)

    @property
    def yearly_rain_mm(self) -> float:
        """Rain of all hours. [mm]"""
        return float(self.rain_mm_h.sum())


BOUNDS: dict[str, tuple[float, float, str]] = {
    "temperature_c": (-60.0, 60.0, "C"),
    "humidity_pct": (0.0, 100.0, "%"),
    "wind_m_s": (0.0, 75.0, "m/s"),
    "rain_mm_h": (0.0, WETTEST_HOUR_MM, "mm"),
    "sun_global_w_m2": (0.0, 1500.0, "W/m2"),
    "sun_direct_w_m2": (0.0, 1500.0, "W/m2"),
    "sun_diffuse_w_m2": (0.0, 1500.0, "W/m2"),
}
BRIDGED = ("temperature_c", "humidity_pct", "wind_m_s")
NOTHING_IF_MISSING = ("rain_mm_h", "sun_global_w_m2", "sun_direct_w_m2", "sun_diffuse_w_m2")


def checked_climate(climate: Climate) -> Climate:
    """The climate with short gaps filled and impossible values refused.

    Parameters
    ----------
    climate : Climate
        As read; hours not known are not-a-number.

    Returns
    -------
    Climate
        Without gaps; ``repairs`` lists what was done.

    Raises
    ------
    InputError
        If series differ in length, a value is impossible, or a gap in temperature, humidity or
        wind is longer than six hours. Rain and sun that are missing count as none.

    Sources
    -------
    D-025 : gaps to six hours are bridged by a straight line.
    """
    for name in (*BOUNDS, "wind_from_deg"):
        size = getattr(climate, name).size
        if size != climate.hours or size == 0:
            found = f"{size} hours of {name}, {climate.hours} of temperature"
            raise InputError(climate.place, found, "one value an hour in every column")
    repairs = list(climate.repairs)
    fixed: dict[str, Any] = {}
    for name, (low, high, unit) in BOUNDS.items():
        series = np.array(getattr(climate, name), dtype=float)
        _refuse_impossible(climate.place, name, series, low, high, unit)
        if name in BRIDGED:
            fixed[name] = _bridged(climate.place, name, series, repairs)
        else:
            fixed[name] = _nothing_where_missing(name, series, repairs)
    return replace(climate, repairs=tuple(repairs), **fixed)


def _refuse_impossible(
    place: str, name: str, series: Array, low: float, high: float, unit: str
) -> None:
    """An error that names the first hour outside the bounds."""
    bad = np.flatnonzero((series < low) | (series > high))
    if bad.size:
        hour, value = int(bad[0]), float(series[bad[0]])
        raise InputError(
            f"{place}, hour {hour + 1}",
            f"{name} {value:g} {unit}",
            f"{low:g} to {high:g} {unit}",
            f"{bad.size} such hours in all; mend the file or leave the value out.",
        )


def _bridged(place: str, name: str, series: Array, repairs: list[str]) -> Array:
    """The series with short gaps bridged by straight lines."""
    missing = np.isnan(series)
    if not missing.any():
        return series
    edges = np.flatnonzero(np.diff(np.concatenate(([False], missing, [False])).astype(np.int8)))
    starts, ends = edges[::2], edges[1::2]
    worst = int(np.argmax(ends - starts))
    if ends[worst] - starts[worst] > LONGEST_GAP_H:
        raise InputError(
            f"{place}, hour {starts[worst] + 1}",
            f"{name} missing for {ends[worst] - starts[worst]} hours",
            f"gaps of at most {LONGEST_GAP_H} hours",
            "Use another year or station.",
        )
    hours = np.arange(series.size)
    filled = np.interp(hours, hours[~missing], series[~missing])
    repairs.append(f"{name}: {int(missing.sum())} missing hours bridged by straight lines")
    return np.asarray(filled)


def _nothing_where_missing(name: str, series: Array, repairs: list[str]) -> Array:
    """The series with missing hours set to none."""
    missing = np.isnan(series)
    if missing.any():
        repairs.append(f"{name}: {int(missing.sum())} missing hours counted as none")
    return np.where(missing, 0.0, series)


def from_hour(climate: Climate, *, first_hour: int, hours: int) -> Climate:
    """A stretch of a climate, going round from the end of the year to its beginning.

    Parameters
    ----------
    climate : Climate
        A whole year.
    first_hour : int
        Hour of the year to begin with, 0 for the first of January.
    hours : int
        How many hours.

    Returns
    -------
    Climate
        That stretch.

    Raises
    ------
    InputError
        If ``hours`` is not at least 1.
    """
    if hours < 1:
        raise InputError("climate", f"{hours} hours", "at least one hour")
    at = (first_hour + np.arange(hours)) % climate.hours
    names = (*BOUNDS, "wind_from_deg")
    parts: dict[str, Any] = {name: getattr(climate, name)[at] for name in names}
    begins = (climate.first_hour + first_hour) % HOURS_A_YEAR
    return replace(climate, first_hour=begins, **parts)


def driving_rain_kg_m2_h(
    climate: Climate, *, facing_deg: float, exposure: float = 1.0, runoff: float = 0.35
) -> Array:
    """Rain that strikes a wall each hour.

    Parameters
    ----------
    climate : Climate
        Weather.
    facing_deg : float
        Compass bearing the wall looks to. [deg]
    exposure : float
        Rain exposure factor, 0.7 sheltered, 1.0 medium, 1.3 severe, for walls to 10 m. [-]
    runoff : float
        0.35 below a steep roof, 0.5 below a low-slope roof, 1 where water runs down. [-]

    Returns
    -------
    ndarray, shape (hours,)
        Rain on the wall. [kg/(m2 h)]

    Limits
    ------
    Where the wind's direction is not known the mean over all directions, 1 / pi, is used.

    Sources
    -------
    D-010 : 0.2 kg s/(m3 mm) times exposure, runoff, wind, cosine and rain.
    """
    angle = np.radians(climate.wind_from_deg - facing_deg)
    toward = np.where(np.isnan(angle), 1.0 / np.pi, np.maximum(np.cos(angle), 0.0))
    return np.asarray(0.2 * exposure * runoff * climate.wind_m_s * toward * climate.rain_mm_h)
