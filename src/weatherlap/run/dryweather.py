"""The weather of a job: a kept place, monthly normals that were typed, or hours from a file."""

from __future__ import annotations

import datetime
import tomllib
from collections.abc import Callable, Mapping

import numpy as np
from numpy.typing import NDArray

from weatherlap.drying.climate import HOURS_A_YEAR, Climate
from weatherlap.drying.decay import ClimateHazard, climate_index
from weatherlap.drying.normals import MONTH_DAYS, hourly_climate, place
from weatherlap.drying.weather_files import TMY3, read_normals, read_table, read_tmy3
from weatherlap.errors import InputError
from weatherlap.job.dryrecords import ClimateRecord

WEATHER = "weather"
WET_DAY_MM = 0.254
MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip


def weather_text(own: Mapping[str, str]) -> str | None:
    """The text of a weather file: as it was read, or the `text` of a table named weather."""
    found = own.get(WEATHER)
    if found is None or "text" not in found[:2000]:
        return found
    try:
        text = tomllib.loads(found).get("text")
    except tomllib.TOMLDecodeError:
        return found
    return text if isinstance(text, str) else found


def climate_of(record: ClimateRecord, *, weather: str | None) -> Climate:
    """The weather that a job names, hour by hour.

    Parameters
    ----------
    record : ClimateRecord
        The job's climate table.
    weather : str, optional
        Text of the weather file, where the job names one.

    Raises
    ------
    InputError
        If the file was not handed over, or cannot be used.

    Sources
    -------
    D-014, D-025.
    """
    if record.place is not None:
        return hourly_climate(place(record.place))
    if record.months is not None:
        assert record.latitude is not None
        latitude = record.latitude
        name = record.name or "the place of the job"
        text = record.months.strip()
        return _named(
            "months",
            lambda: hourly_climate(read_normals(text, place=name, latitude_deg=latitude)),
        )
    return _named("weather_file", lambda: _from_file(record, weather))


def _named(key: str, read: Callable[[], Climate]) -> Climate:
    """What is read; a fault in it is told with the key of the job file that it comes from."""
    try:
        return read()
    except InputError as error:
        problem = error.problems[0]
        if problem.where.startswith("climate"):
            raise InputError(
                problem.where, problem.found, problem.want, problem.do, key=("climate", key)
            ) from None
        found = f"{problem.where}: {problem.found}"
        raise InputError(
            f"climate: {key}", found, problem.want, problem.do, key=("climate", key)
        ) from None


def _from_file(record: ClimateRecord, weather: str | None) -> Climate:
    """Hourly weather from the text of a file: TMY3 if its second line has the names of one."""
    if weather is None:
        raise InputError(
            "climate: weather_file",
            f"the weather of {record.weather_file!r} was not handed over",
            "the file beside the job file",
            "Keep both in one folder, or give `place` or `months` in its stead.",
        )
    second = weather.lstrip("\ufeff").splitlines()[1:2]
    if second and TMY3["temperature_c"] in second[0]:
        return read_tmy3(weather)
    if record.latitude is None:
        do = "For instance latitude = 42.4."
        raise InputError("climate: latitude", "missing", "the latitude beside a table", do)
    name = record.name or str(record.weather_file)
    return read_table(weather, place=name, latitude_deg=record.latitude)


def hour_of(day: str) -> int:
    """First hour of a day in a year of 365 days; 0 where no day is given. [h]"""
    if not day:
        return 0
    date = datetime.date.fromisoformat(day)
    passed = sum(MONTH_DAYS[: date.month - 1]) + min(date.day, MONTH_DAYS[date.month - 1]) - 1
    return 24 * passed


def month_of(hour: int) -> int:
    """Month of an hour of the year, 0 for January. [h]"""
    ends = np.cumsum(MONTH_DAYS) * 24
    return int(np.searchsorted(ends, hour % HOURS_A_YEAR, side="right"))


def month_mean_c(climate: Climate, hour: int) -> float:
    """Mean temperature of the month that an hour of the year is in. [C]"""
    months = np.repeat(np.arange(12), [24 * d for d in MONTH_DAYS])
    return float(climate.temperature_c[months == month_of(hour)].mean())


def hazard_of(climate: Climate) -> ClimateHazard:
    """Decay hazard of a year of weather that begins on the first of January.

    Sources
    -------
    D-011 : months' mean temperatures and days of 0.01 in of rain or more.
    """
    months = months_of_days()
    celsius = climate.temperature_c.reshape(-1, 24).mean(axis=1)
    means = [float(celsius[months == m].mean()) for m in range(12)]
    return climate_index(means, rain_days=rain_days_of(climate))


def months_of_days() -> NDArray[np.intp]:
    """Month of each day of a year, 0 for January."""
    return np.repeat(np.arange(12), MONTH_DAYS)


def rain_days_of(climate: Climate) -> list[float]:
    """Days with rain in each month of a year that begins on the first of January. [days]"""
    days = climate.rain_mm_h.reshape(-1, 24).sum(axis=1) >= WET_DAY_MM
    months = months_of_days()
    return [float(days[months == m].sum()) for m in range(12)]
