"""Temperatures and differences of temperature as they are typed."""

from __future__ import annotations

import pytest

from weatherlap.units import UnitError, parse_temperature, parse_warming


@pytest.mark.parametrize(
    ("text", "celsius"),
    [("32 F", 0.0), ("50F", 10.0), ("10 C", 10.0), ("-4 °F", -20.0), ("20 deg C", 20.0)],
)
def test_temperatures(text: str, celsius: float):
    """Fahrenheit and Celsius are read, with or without their sign."""
    assert parse_temperature(text) == pytest.approx(celsius)


def test_a_difference_has_no_zero_point():
    """Eighteen degrees Fahrenheit warmer are ten kelvin."""
    assert parse_warming("18 F") == pytest.approx(10.0)
    assert parse_warming("8 C") == 8.0


@pytest.mark.parametrize("value", [50, "50", "50 K", "warm", "400 F"])
def test_what_is_no_temperature_is_refused(value: object):
    """A bare number, another unit and heat that no site has are refused in words."""
    with pytest.raises(UnitError, match="expected a temperature with its unit"):
        parse_temperature(value)  # type: ignore[arg-type]
