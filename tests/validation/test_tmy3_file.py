"""Checks against the layout of NREL's TMY3 files (source D-014), on a year built in that layout."""

from __future__ import annotations

import numpy as np
import pytest

from weatherlap.drying.weather_files import read_tmy3
from weatherlap.errors import InputError

NAMES = (
    "Date (MM/DD/YYYY),Time (HH:MM),GHI (W/m^2),DNI (W/m^2),DHI (W/m^2),Dry-bulb (C),"
    "Dew-point (C),RHum (%),Wdir (degrees),Wspd (m/s),Lprecip depth (mm),Lprecip quantity (hr)"
)


def year(*, change: dict[int, str] | None = None, hours: int = 8760) -> str:
    """A TMY3 file: 10 C, 70 %, a mild wind from the south-west, 1 mm at the first hour a day."""
    rows = ['725030,"SOMEWHERE FIELD",NY,-5.0,40.800,-73.900,3', NAMES]
    for hour in range(hours):
        rain = "1.0" if hour % 24 == 0 else "0.0"
        row = f"01/01/1990,01:00,100,50,60,10.0,4.7,70,225,3.1,{rain},1"
        rows.append((change or {}).get(hour, row))
    return "\n".join(rows)


def test_station_and_columns() -> None:
    """Place, latitude and every column come from where the layout has them."""
    climate = read_tmy3(year())
    assert climate.place == "Somewhere Field, NY"
    assert climate.latitude_deg == 40.8
    assert climate.hours == 8760
    assert climate.yearly_rain_mm == pytest.approx(365.0)
    assert (climate.temperature_c[5], climate.humidity_pct[5]) == (10.0, 70.0)
    assert (climate.wind_from_deg[5], climate.wind_m_s[5]) == (225.0, 3.1)
    assert (climate.sun_global_w_m2[5], climate.sun_direct_w_m2[5]) == (100.0, 50.0)
    assert climate.repairs == ()


def test_missing_and_absurd_rain_is_left_out_and_said() -> None:
    """-9900 and 753 mm in one hour, both found in real files, count as none and are named."""
    row = "01/01/1990,01:00,100,50,60,10.0,4.7,70,225,3.1,{},1"
    climate = read_tmy3(year(change={1: row.format("-9900"), 2: row.format("753")}))
    assert climate.yearly_rain_mm == pytest.approx(365.0)
    assert any("over 150 mm" in text for text in climate.repairs)
    assert any("2 missing hours counted as none" in text for text in climate.repairs)


def test_a_short_file_is_refused() -> None:
    """A file that is not a whole year is refused with the hours it has."""
    with pytest.raises(InputError, match="100 hours; expected 8760 hours"):
        read_tmy3(year(hours=100))


def test_a_day_without_temperature_is_refused() -> None:
    """A gap of a day in the temperature is refused, not filled."""
    row = "01/01/1990,01:00,100,50,60,-9900,4.7,70,225,3.1,0,1"
    with pytest.raises(InputError, match="temperature_c missing for 24 hours"):
        read_tmy3(year(change=dict.fromkeys(range(48, 72), row)))


def test_short_gap_is_bridged() -> None:
    """Three missing hours of temperature are bridged, and the repairs say so."""
    row = "01/01/1990,01:00,100,50,60,-9900,4.7,70,225,3.1,0,1"
    climate = read_tmy3(year(change=dict.fromkeys(range(50, 53), row)))
    assert np.all(np.isfinite(climate.temperature_c))
    assert any("3 missing hours bridged" in text for text in climate.repairs)
