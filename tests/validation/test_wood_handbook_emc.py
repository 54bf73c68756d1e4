"""Checks against the Wood Handbook's equilibrium moisture table, from its equation (source D-001).

The rows are those of the table for 5, 10, ... 95 % humidity, printed to a tenth of a percent.
"""

from __future__ import annotations

import numpy as np
import pytest

from weatherlap.drying.wood import equilibrium_pct, humidity_for_pct

ROWS = {
    30: "1.4 2.6 3.7 4.6 5.5 6.3 7.1 7.9 8.7 9.5 10.4 11.3 12.4 13.6 14.9 16.5 18.5 21.0 24.3",
    50: "1.4 2.6 3.6 4.6 5.5 6.3 7.1 7.9 8.7 9.5 10.3 11.2 12.3 13.4 14.8 16.4 18.4 20.9 24.3",
    70: "1.3 2.5 3.5 4.5 5.4 6.2 6.9 7.7 8.5 9.2 10.1 11.0 12.0 13.1 14.4 16.0 18.0 20.5 23.9",
    90: "1.2 2.3 3.4 4.3 5.1 5.9 6.7 7.4 8.1 8.9 9.7 10.5 11.5 12.6 13.9 15.4 17.4 19.9 23.3",
}
HUMIDITY = np.arange(5.0, 100.0, 5.0)


@pytest.mark.parametrize("fahrenheit", sorted(ROWS))
def test_row_of_the_table(fahrenheit: int) -> None:
    """Table 4-2: every value of a row, to the printed digit and the 0.1 the two constant sets
    differ by."""
    want = np.array([float(x) for x in ROWS[fahrenheit].split()])
    got = equilibrium_pct(HUMIDITY, temperature_c=(fahrenheit - 32.0) / 1.8)
    assert got == pytest.approx(want, abs=0.11)


@pytest.mark.parametrize("fahrenheit", sorted(ROWS))
def test_row_turned_round(fahrenheit: int) -> None:
    """The humidity found for a tabled moisture content is the tabled one, to 1 %."""
    celsius = (fahrenheit - 32.0) / 1.8
    for humidity, content in zip(HUMIDITY, ROWS[fahrenheit].split(), strict=True):
        assert humidity_for_pct(float(content), temperature_c=celsius) == pytest.approx(
            humidity, abs=1.0
        )
