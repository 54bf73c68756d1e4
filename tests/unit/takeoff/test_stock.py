"""The table of stock and a firm's own."""

from __future__ import annotations

import pytest

from weatherlap.errors import InputError
from weatherlap.takeoff.stock import read_stock, stock


def test_coil_is_two_feet_by_fifty():
    """Common practice, no source: trim coil is 24 in wide and 50 ft long."""
    assert stock().coil_widths_in["aluminum-24"] == 24
    assert stock().coils["aluminum-24"].length_in == 600


def test_lumber_comes_by_two_feet_and_is_priced_by_the_foot():
    """Lengths are whole 2 ft, and price follows length."""
    bars = stock().bars["lumber-2x"]
    assert all(bar.length_in % 24 == 0 for bar in bars)
    assert len({round(bar.price_usd / bar.length_in, 4) for bar in bars}) == 1


def test_a_firm_reads_its_own_prices():
    """A price without 'invented' in its name is the firm's."""
    own = read_stock("[bars.x]\nusd_per_ft = 2\nlengths_in = [120]\n")
    assert own.bars["x"][0].price_usd == 20
    assert own.bars["x"][0].id == "x 10'"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        pytest.param("[", "a TOML file", id="not-toml"),
        pytest.param("[wood.a]\n", "tables bars, coils, sheets, rolls", id="unknown"),
        pytest.param("[bars.a]\nusd_per_ft = 1", "a list of inches", id="no-lengths"),
        pytest.param("[coils.a]\nusd = 1\nwidth_in = 24", "length_in = None", id="no-length"),
        pytest.param(
            "[sheets.a]\nusd = true\nwidth_in = 4\nlength_in = 8", "usd = True", id="bool"
        ),
    ],
)
def test_a_wrong_table_is_refused(text, words):
    """What is missing or cannot be is named."""
    with pytest.raises(InputError, match=words):
        read_stock(text)
