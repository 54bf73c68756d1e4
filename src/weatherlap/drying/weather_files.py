"""Read a year of weather from text: TMY3 files, and plain tables with named columns and units."""

from __future__ import annotations

import csv
import re
from collections.abc import Callable, Sequence
from itertools import islice
from typing import Any

import numpy as np

from weatherlap.drying.air import Array, saturation_over_water_pa
from weatherlap.drying.climate import HOURS_A_YEAR, WETTEST_HOUR_MM, Climate, checked_climate
from weatherlap.drying.normals import USUAL_CLEARNESS, Normals
from weatherlap.drying.sun import SOLAR_CONSTANT_W_M2, diffuse_share, sun_position
from weatherlap.errors import InputError

LEAP_HOURS = HOURS_A_YEAR + 24
FEB_29_HOUR = 24 * 59
TMY3_MISSING = -900.0
TMY3 = {
    "temperature_c": "Dry-bulb (C)",
    "humidity_pct": "RHum (%)",
    "wind_m_s": "Wspd (m/s)",
    "wind_from_deg": "Wdir (degrees)",
    "rain_mm_h": "Lprecip depth (mm)",
    "sun_global_w_m2": "GHI (W/m^2)",
    "sun_direct_w_m2": "DNI (W/m^2)",
    "sun_diffuse_w_m2": "DHI (W/m^2)",
}
NORMAL_COLUMNS = {
    "temperature": "temperature_c",
    "humidity": "humidity_pct",
    "wind": "wind_m_s",
    "rain": "rain_mm",
    "rain days": "rain_days",
    "daily range": "daily_range_k",
}
TMY3_RAIN_HOURS = "Lprecip quantity (hr)"


def _same(value: Array) -> Array:
    return value


UNITS: dict[str, dict[str, Callable[[Array], Array]]] = {
    "temperature": {"c": _same, "f": lambda v: (v - 32.0) / 1.8, "k": lambda v: v - 273.15},
    "dew point": {"c": _same, "f": lambda v: (v - 32.0) / 1.8, "k": lambda v: v - 273.15},
    "humidity": {"%": _same, "1": lambda v: 100.0 * v},
    "wind": {
        "m/s": _same, "mph": lambda v: 0.44704 * v, "km/h": lambda v: v / 3.6,
        "kn": lambda v: 0.514444 * v,
    },
    "wind from": {"deg": _same},
    "rain": {"mm": _same, "in": lambda v: 25.4 * v},
    "rain days": {"d": _same},
    "daily range": {"k": _same, "c": _same, "f": lambda v: v / 1.8},
    "sun global": {"w/m2": _same},
    "sun direct": {"w/m2": _same},
    "sun diffuse": {"w/m2": _same},
}  # fmt: skip


def read_tmy3(text: str) -> Climate:
    """A climate from the text of a TMY3 file.

    Parameters
    ----------
    text : str
        The whole file: a line about the station, a line of column names, 8760 rows.

    Returns
    -------
    Climate
        Checked; rain that is missing, given for more than one hour, or over 150 mm in an hour
        counts as none, and the repairs say so.

    Raises
    ------
    InputError
        If it is not such a file, a column is missing, or the weather is impossible.

    Sources
    -------
    D-014 : layout of the file.
    """
    lines = text.lstrip("\ufeff").splitlines()
    if len(lines) < 3:
        raise InputError("TMY3 file", f"{len(lines)} lines", "a station line, names, 8760 rows")
    station = next(csv.reader(lines[:1]))
    latitude = _station_latitude(station)
    rows = list(csv.DictReader(lines[1:]))
    columns = {name: _tmy3_column(rows, title) for name, title in TMY3.items()}
    repairs: list[str] = []
    columns["rain_mm_h"] = _tmy3_rain(rows, columns["rain_mm_h"], repairs)
    place = f"{station[1].strip().title()}, {station[2].strip()}"
    return _climate(place, latitude, columns, repairs, ("D-014",))


def _station_latitude(station: Sequence[str]) -> float:
    """Latitude in the first line: id, name, state, zone, latitude, longitude, elevation."""
    try:
        return float(station[4])
    except (IndexError, ValueError):
        found = ",".join(station)[:80]
        raise InputError(
            "TMY3 file, line 1", repr(found), "id, name, state, zone, latitude, longitude, height"
        ) from None


def _tmy3_column(rows: Sequence[dict[str, str]], title: str) -> Array:
    """One column as numbers, missing marks as not-a-number."""
    if title not in rows[0]:
        raise InputError("TMY3 file, line 2", f"no column {title!r}", "the names of a TMY3 file")
    values = _numbers([row[title] for row in rows], title, first_line=3)
    return np.where(values <= TMY3_MISSING, np.nan, values)


def _tmy3_rain(rows: Sequence[dict[str, str]], rain: Array, repairs: list[str]) -> Array:
    """Rain of single hours; longer sums and absurd depths are taken out and noted."""
    rain = rain.copy()
    if TMY3_RAIN_HOURS in rows[0]:
        spans = _tmy3_column(rows, TMY3_RAIN_HOURS)
        longer = spans > 1.0
        if longer.any():
            repairs.append(f"rain: {int(longer.sum())} sums over more than one hour left out")
        rain[longer] = np.nan
    absurd = rain > WETTEST_HOUR_MM
    if absurd.any():
        repairs.append(f"rain: {int(absurd.sum())} hours over {WETTEST_HOUR_MM:g} mm left out")
    rain[absurd] = np.nan
    return rain


def read_table(text: str, *, place: str, latitude_deg: float) -> Climate:
    """A climate from plain comma-separated text with named columns and units.

    Parameters
    ----------
    text : str
        First line: column names with their unit in square brackets, such as ``temperature [F],
        humidity [%], wind [mph], rain [in]``; then 8760 rows (8784 in a leap year). Known
        names: temperature, dew point, humidity, wind, wind from, rain, sun global, sun direct,
        sun diffuse. Lines that begin with ``#`` and other columns are passed over; an empty
        cell is a missing hour.
    place : str
        Name of the place.
    latitude_deg : float
        Latitude. [deg]

    Returns
    -------
    Climate
        Checked; repairs say what was filled. Without sun columns a middling clearness is used.

    Raises
    ------
    InputError
        If temperature, humidity (or dew point), wind or rain is missing, a unit is not known, or
        the weather is impossible.

    Sources
    -------
    D-025 : filling and clearness.
    """
    lines = [line for line in text.lstrip("\ufeff").splitlines() if not line.startswith("#")]
    if len(lines) < 2:
        raise InputError(place, f"{len(lines)} lines", "a line of names and 8760 rows")
    read = _table_columns(place, list(csv.reader(lines)))
    repairs: list[str] = []
    if "humidity" not in read and {"dew point", "temperature"} <= read.keys():
        read["humidity"] = _humidity_of(read["temperature"], read["dew point"])
        repairs.append("humidity worked out from the dew point")
    for needed in ("temperature", "humidity", "wind", "rain"):
        if needed not in read:
            found = f"no column {needed} [unit]"
            raise InputError(place, found, "temperature, humidity or dew point, wind and rain")
    size = read["temperature"].size
    blank = np.full(size, np.nan)
    columns = {
        "temperature_c": read["temperature"],
        "humidity_pct": read["humidity"],
        "wind_m_s": read["wind"],
        "wind_from_deg": read.get("wind from", blank),
        "rain_mm_h": read["rain"],
    }
    columns |= _table_sun(read, latitude_deg, size, repairs)
    return _climate(place, latitude_deg, columns, repairs, ("D-025",))


def read_normals(text: str, *, place: str, latitude_deg: float) -> Normals:
    """Monthly normals from plain comma-separated text with named columns and units.

    Parameters
    ----------
    text : str
        First line: names with units, such as ``temperature [F], humidity [%], wind [mph],
        rain [in], rain days [d]`` and, if known, ``daily range [F]``; then twelve rows, January
        first. Lines that begin with ``#`` and other columns are passed over.
    place : str
        Name of the place.
    latitude_deg : float
        Latitude. [deg]

    Returns
    -------
    Normals
        For ``hourly_climate``.

    Raises
    ------
    InputError
        If a column or a month is missing, or a unit is not known.

    Sources
    -------
    D-025 : what is made of them.
    """
    lines = [line for line in text.lstrip("\ufeff").splitlines() if not line.startswith("#")]
    read = _table_columns(place, list(csv.reader(lines))) if lines else {}
    values: dict[str, Any] = {}
    for name, field in NORMAL_COLUMNS.items():
        column = read.get(name)
        if column is None and name == "daily range":
            continue
        if column is None:
            found = f"no column {name} [unit]"
            raise InputError(place, found, f"the columns {', '.join(NORMAL_COLUMNS)}")
        if column.size != 12 or np.isnan(column).any():
            found = f"{int(np.isfinite(column).sum())} months of {name}"
            raise InputError(place, found, "twelve, January first, none empty")
        values[field] = tuple(float(v) for v in column)
    return Normals(place=place, latitude_deg=latitude_deg, source_keys=("D-025",), **values)


def _table_columns(place: str, rows: Sequence[Sequence[str]]) -> dict[str, Array]:
    """Each known column in its base unit."""
    read: dict[str, Array] = {}
    for at, title in enumerate(rows[0]):
        match = re.fullmatch(r"\s*(.+?)\s*\[\s*(\S+?)\s*\]\s*", title)
        name = (match.group(1) if match else title).strip().lower().replace("_", " ")
        if name not in UNITS:
            continue
        unit = match.group(2).lower() if match else ""
        if unit not in UNITS[name]:
            known = ", ".join(UNITS[name])
            found = f"{name} in {unit!r}" if unit else f"{name} without a unit"
            raise InputError(f"{place}, line 1", found, f"{name} [{known}]")
        cells = [row[at] if at < len(row) else "" for row in islice(rows, 1, None)]
        read[name] = UNITS[name][unit](_numbers(cells, name, first_line=2))
    return read


def _humidity_of(temperature_c: Array, dew_c: Array) -> Array:
    """Relative humidity from temperature and dew point. [%]"""
    share = saturation_over_water_pa(dew_c) / saturation_over_water_pa(temperature_c)
    return np.minimum(100.0 * share, 100.0)


def _table_sun(
    read: dict[str, Array], latitude_deg: float, size: int, repairs: list[str]
) -> dict[str, Array]:
    """Sun columns as read, or split from global, or from a middling clearness."""
    hours = np.arange(size, dtype=float)
    height, _ = sun_position(latitude_deg, hours=hours)
    above = SOLAR_CONSTANT_W_M2 * np.maximum(height, 0.0)
    level = read.get("sun global")
    if level is None:
        level = USUAL_CLEARNESS * above
        repairs.append(f"sun: not in the table, clearness {USUAL_CLEARNESS:g} used")
    diffuse = read.get("sun diffuse")
    if diffuse is None:
        clear = np.clip(np.nan_to_num(level) / np.maximum(above, 1.0), 0.0, 1.0)
        diffuse = np.where(above > 0.0, diffuse_share(clear) * level, level)
    direct = read.get("sun direct")
    if direct is None:
        direct = np.where(height > 0.05, (level - diffuse) / np.maximum(height, 0.05), 0.0)
        direct = np.clip(direct, 0.0, SOLAR_CONSTANT_W_M2)
    return {"sun_global_w_m2": level, "sun_direct_w_m2": direct, "sun_diffuse_w_m2": diffuse}


def _numbers(cells: Sequence[str], name: str, *, first_line: int) -> Array:
    """Cells as numbers; empty ones are not-a-number."""
    values = np.full(len(cells), np.nan)
    for at, cell in enumerate(cells):
        text = (cell or "").strip()
        if not text:
            continue
        try:
            values[at] = float(text)
        except ValueError:
            where = f"line {first_line + at}"
            raise InputError(where, f"{name} {text!r}", "a number or an empty cell") from None
    return values


def _climate(
    place: str, latitude_deg: float, columns: dict[str, Any], repairs: list[str],
    source_keys: tuple[str, ...],
) -> Climate:  # fmt: skip
    """A whole year of checked weather; the leap day is left out."""
    size = columns["temperature_c"].size
    if size not in (HOURS_A_YEAR, LEAP_HOURS):
        raise InputError(place, f"{size} hours", f"{HOURS_A_YEAR} hours, a whole year")
    if size == LEAP_HOURS:
        keep = np.ones(LEAP_HOURS, dtype=bool)
        keep[FEB_29_HOUR : FEB_29_HOUR + 24] = False
        columns = {name: series[keep] for name, series in columns.items()}
        repairs.append("29 February left out")
    return checked_climate(
        Climate(
            place=place,
            latitude_deg=latitude_deg,
            repairs=tuple(repairs),
            source_keys=source_keys,
            **columns,
        )
    )
