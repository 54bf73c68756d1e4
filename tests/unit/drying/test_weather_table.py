"""The plain weather table: names, units, gaps; any text is answered, never a crash."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from weatherlap.drying.normals import hourly_climate
from weatherlap.drying.weather_files import read_normals, read_table, read_tmy3
from weatherlap.errors import InputError

HEAD = "temperature [F], humidity [%], wind [mph], rain [in]"


def table(head: str = HEAD, row: str = "50,60,10,0.01", hours: int = 8760) -> str:
    """A table of one row over and over."""
    return "\n".join(["# typed by hand", head, *([row] * hours)])


def read(text: str) -> object:
    """Read a table as a place's."""
    return read_table(text, place="here", latitude_deg=41.0)


def test_units_are_turned() -> None:
    """Fahrenheit, miles an hour and inches come out as C, m/s and mm."""
    climate = read_table(table(), place="here", latitude_deg=41.0)
    assert climate.temperature_c[0] == pytest.approx(10.0)
    assert climate.wind_m_s[0] == pytest.approx(4.4704)
    assert climate.rain_mm_h[0] == pytest.approx(0.254)
    assert np.isnan(climate.wind_from_deg).all()
    assert any("clearness" in text for text in climate.repairs)


def test_dew_point_stands_in_for_humidity() -> None:
    """Humidity is worked out from a dew point, and the repairs say so."""
    text = table("temperature [C], dew point [C], wind [m/s], rain [mm]", "20,9.3,3,0")
    climate = read_table(text, place="here", latitude_deg=41.0)
    assert climate.humidity_pct[0] == pytest.approx(50.0, abs=0.5)
    assert "humidity worked out from the dew point" in climate.repairs


def test_leap_day_is_left_out() -> None:
    """8784 hours lose the 29th of February."""
    rows = ["50,60,10,0"] * 8784
    rows[24 * 59] = "99,60,10,0"
    climate = read_table("\n".join([HEAD, *rows]), place="here", latitude_deg=41.0)
    assert climate.hours == 8760
    assert climate.temperature_c.max() == pytest.approx(10.0)
    assert "29 February left out" in climate.repairs


def test_global_sun_is_split() -> None:
    """Global sun alone is split into direct and diffuse, none of it at night."""
    text = table(
        "temperature [C], humidity [%], wind [m/s], rain [mm], sun global [W/m2]", "9,50,3,0,200"
    )
    climate = read_table(text, place="here", latitude_deg=41.0)
    noon, midnight = 24 * 172 + 12, 24 * 172
    assert climate.sun_direct_w_m2[noon] > 0.0
    assert climate.sun_direct_w_m2[midnight] == 0.0
    assert np.all(climate.sun_diffuse_w_m2 <= 200.0 + 1e-9)


@pytest.mark.parametrize(
    ("text", "want"),
    [
        (table("temperature [F], humidity [%], wind [mph]"), "no column rain"),
        (table("temperature, humidity [%], wind [mph], rain [in]"), "temperature without a unit"),
        (table("temperature [F], humidity [%], wind [mps], rain [in]"), r"wind \[m/s, mph"),
        (table(row="50,abc,10,0"), "line 2: humidity 'abc'; expected a number"),
        (table(hours=24), "24 hours; expected 8760 hours"),
        (table(row="50,160,10,0"), "humidity_pct 160 %; expected 0 to 100 %"),
        ("", "0 lines"),
    ],
)
def test_bad_tables_say_what_is_wrong(text: str, want: str) -> None:
    """Each fault is named with what would be right."""
    with pytest.raises(InputError, match=want):
        read(text)


NORMALS = "temperature [F], humidity [%], wind [mph], rain [in], rain days [d]"


NO_DAYS = "\n".join([NORMALS.replace("rain days [d]", "other"), *(["50, 60, 10, 3.0, 9.5"] * 12)])


def test_normals_are_read_with_their_units() -> None:
    """Twelve rows of Fahrenheit, miles an hour and inches become normals in C, m/s and mm."""
    text = "\n".join([NORMALS, *(["50, 60, 10, 3.0, 9.5"] * 12)])
    normals = read_normals(text, place="here", latitude_deg=41.0)
    assert normals.temperature_c == pytest.approx((10.0,) * 12)
    assert normals.rain_mm == pytest.approx((76.2,) * 12)
    assert normals.rain_days == (9.5,) * 12
    assert hourly_climate(normals).yearly_rain_mm == pytest.approx(12 * 76.2)


@pytest.mark.parametrize(
    ("text", "want"),
    [
        ("", "no column temperature"),
        (NO_DAYS, "no column rain days"),
        ("\n".join([NORMALS, *(["50, 60, 10, 3.0, 9.5"] * 11)]), "11 months of temperature"),
        ("\n".join([NORMALS, *(["50, , 10, 3.0, 9.5"] * 12)]), "0 months of humidity"),
    ],
)
def test_incomplete_normals_are_refused(text: str, want: str) -> None:
    """A missing column, month or value is named."""
    with pytest.raises(InputError, match=want):
        read_normals(text, place="here", latitude_deg=41.0)


@settings(max_examples=80, deadline=None)
@given(text=st.text(max_size=400))
def test_any_text_is_answered(text: str) -> None:
    """Whatever is given for a weather file, the answer is an error in words."""
    with pytest.raises(InputError):
        read(text)
    with pytest.raises(InputError):
        read_tmy3(text)
