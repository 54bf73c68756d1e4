"""Monthly normals made hourly by a stated method, and the places kept with the package.

The method (D-025): monthly means stand in the middle of each month and are joined by a curve that
keeps every month's mean. Each day swings by the month's daily range as a cosine with its top at
15 h. The vapour in the air follows the monthly humidity at the mean temperature and stays level
through the day, so humidity falls by day and rises by night, held at 98 %. Rain falls on the given
number of days, spread evenly through the month, in spells of six hours that begin at 0, 6, 12 and
18 h in turn. The sun is the month's clearness times the sun above the air. Wind is the monthly
mean; its direction is not known. There is no weather from day to day beyond that: no cold snaps.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

import numpy as np
from numpy.typing import NDArray

from weatherlap.drying.air import Array, saturation_over_water_pa
from weatherlap.drying.climate import HOURS_A_YEAR, Climate, checked_climate
from weatherlap.drying.sun import SOLAR_CONSTANT_W_M2, diffuse_share, sun_position
from weatherlap.errors import InputError

MONTH_DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
TOP_OF_DAY_H = 15.0
WETTEST_AIR_PCT = 98.0
SPELL_H = 6
SPELL_STARTS = (0, 6, 12, 18)
USUAL_CLEARNESS = 0.5
USUAL_DAILY_RANGE_K = 10.0
ROUNDS_TO_KEEP_MEANS = 40


@dataclass(frozen=True, slots=True)
class Normals:
    """Twelve monthly values of each kind for a place, January first."""

    place: str
    latitude_deg: float
    temperature_c: tuple[float, ...]
    humidity_pct: tuple[float, ...]
    wind_m_s: tuple[float, ...]
    rain_mm: tuple[float, ...]
    rain_days: tuple[float, ...]
    daily_range_k: tuple[float, ...] = (USUAL_DAILY_RANGE_K,) * 12
    clearness: tuple[float, ...] = (USUAL_CLEARNESS,) * 12
    source_keys: tuple[str, ...] = ()


def hourly_climate(normals: Normals) -> Climate:
    """A year of hours from monthly normals, by the method on top of this module.

    Parameters
    ----------
    normals : Normals
        Twelve values of each kind.

    Returns
    -------
    Climate
        8760 hours whose monthly means of temperature, rain and wind are the normals'.

    Raises
    ------
    InputError
        If there are not twelve of a kind, or a value is impossible.

    Sources
    -------
    D-025 : the method.
    """
    _check(normals)
    month = np.repeat(np.arange(12), [24 * d for d in MONTH_DAYS])
    swing = 0.5 * np.asarray(normals.daily_range_k)[month]
    hour = np.arange(HOURS_A_YEAR)
    mean = _smooth(np.asarray(normals.temperature_c), month)
    warm = mean + swing * np.cos(2.0 * np.pi * (hour % 24 + 0.5 - TOP_OF_DAY_H) / 24.0)
    moist = np.asarray(normals.humidity_pct)[month] / 100.0 * saturation_over_water_pa(mean)
    humidity = np.minimum(100.0 * moist / saturation_over_water_pa(warm), WETTEST_AIR_PCT)
    level, direct, diffuse = _sun(normals, hour.astype(float), month)
    climate = Climate(
        place=normals.place,
        latitude_deg=normals.latitude_deg,
        temperature_c=warm,
        humidity_pct=humidity,
        wind_m_s=np.asarray(normals.wind_m_s, dtype=float)[month],
        wind_from_deg=np.full(HOURS_A_YEAR, np.nan),
        rain_mm_h=_rain(normals),
        sun_global_w_m2=level,
        sun_direct_w_m2=direct,
        sun_diffuse_w_m2=diffuse,
        repairs=("made from monthly normals: no weather from day to day",),
        source_keys=(*normals.source_keys, "D-025"),
    )
    return checked_climate(climate)


def _check(normals: Normals) -> None:
    """Refuse normals that are not twelve possible values of each kind."""
    bounds = {
        "temperature_c": (-50.0, 45.0), "humidity_pct": (1.0, 100.0), "wind_m_s": (0.0, 30.0),
        "rain_mm": (0.0, 3000.0), "rain_days": (0.0, 31.0), "daily_range_k": (0.0, 30.0),
        "clearness": (0.05, 0.85),
    }  # fmt: skip
    for name, (low, high) in bounds.items():
        values = getattr(normals, name)
        if len(values) != 12:
            found = f"{len(values)} values of {name}"
            raise InputError(normals.place, found, "twelve, January first")
        for month, value in enumerate(values, start=1):
            if not low <= value <= high:
                where = f"{normals.place}, month {month}"
                raise InputError(where, f"{name} {value:g}", f"{low:g} to {high:g}")
    if not -66.0 <= normals.latitude_deg <= 66.0:
        found = f"latitude {normals.latitude_deg:g}"
        raise InputError(normals.place, found, "-66 to 66 degrees")
    for month, (mm, days) in enumerate(zip(normals.rain_mm, normals.rain_days, strict=True), 1):
        if mm > 0.0 and round(days) < 1:
            where = f"{normals.place}, month {month}"
            raise InputError(where, f"{mm:g} mm on {days:g} days", "at least one wet day")


def _smooth(monthly: Array, month: NDArray[np.int_]) -> Array:
    """A curve through the year, hour by hour, whose monthly means are the given ones."""
    middles = np.cumsum([24.0 * d for d in MONTH_DAYS]) - 12.0 * np.asarray(MONTH_DAYS)
    around = np.concatenate(([middles[-1] - HOURS_A_YEAR], middles, [middles[0] + HOURS_A_YEAR]))
    hour = np.arange(HOURS_A_YEAR) + 0.5
    counts = np.bincount(month)
    knots = monthly.copy()
    curve = np.zeros(HOURS_A_YEAR)
    for _ in range(ROUNDS_TO_KEEP_MEANS):
        curve = np.interp(hour, around, np.concatenate(([knots[-1]], knots, [knots[0]])))
        knots = knots + monthly - np.bincount(month, weights=curve) / counts
    return curve


def _rain(normals: Normals) -> Array:
    """Rain hour by hour: even days, six-hour spells that begin at a different time each."""
    rain = np.zeros(HOURS_A_YEAR)
    first_day, spell = 0, 0
    for mm, days, length in zip(normals.rain_mm, normals.rain_days, MONTH_DAYS, strict=True):
        wet = round(days)
        for k in range(wet):
            day = first_day + int((k + 0.5) * length / wet)
            begin = 24 * day + SPELL_STARTS[spell % len(SPELL_STARTS)]
            rain[begin : begin + SPELL_H] += mm / wet / SPELL_H
            spell += 1
        first_day += length
    return rain


def _sun(normals: Normals, hour: Array, month: NDArray[np.int_]) -> tuple[Array, Array, Array]:
    """Level, direct and diffuse sun from the month's clearness."""
    height, _ = sun_position(normals.latitude_deg, hours=hour)
    above = SOLAR_CONSTANT_W_M2 * np.maximum(height, 0.0)
    clearness = np.asarray(normals.clearness, dtype=float)[month]
    level = clearness * above
    diffuse = diffuse_share(clearness) * level
    direct = np.where(height > 0.05, (level - diffuse) / np.maximum(height, 0.05), 0.0)
    return level, direct, diffuse


@cache
def places() -> Mapping[str, Normals]:
    """The monthly normals kept with the package, by key (read only)."""
    text = (files("weatherlap.drying") / "data" / "places.toml").read_text("utf-8")
    return MappingProxyType({key: _place(row) for key, row in tomllib.loads(text).items()})


def place(key: str) -> Normals:
    """The normals of a kept place.

    Parameters
    ----------
    key : str
        As in ``places()``.

    Returns
    -------
    Normals
        With the sources of its figures.

    Raises
    ------
    InputError
        If the package does not keep that place.
    """
    found = places().get(key)
    if found is None:
        do = f"Kept: {', '.join(places())}. Or give your own normals or an hourly file."
        raise InputError(f"place {key!r}", "no normals", "a kept place", do)
    return found


def _place(row: dict[str, Any]) -> Normals:
    """The record of one table of the data file; yearly rain is spread by days in the month."""
    share = np.asarray(MONTH_DAYS) / 365.0
    rain = row.get("rain_mm") or [float(v) for v in row["yearly_rain_mm"] * share]
    days = row.get("rain_days") or [float(v) for v in row["yearly_rain_days"] * share]
    return Normals(
        place=row["name"],
        latitude_deg=row["latitude_deg"],
        temperature_c=tuple(row["temperature_c"]),
        humidity_pct=tuple(row["humidity_pct"]),
        wind_m_s=tuple(row["wind_m_s"]),
        rain_mm=tuple(rain),
        rain_days=tuple(days),
        source_keys=tuple(row["sources"]),
    )
