"""Checks movement by heat against M-020 and M-202: tables of what lengths of metal grow."""

from __future__ import annotations

import pytest
from pytest import approx

from weatherlap.takeoff.movement import EXPANSION, movement_in


def test_ten_feet_of_aluminum():
    """M-020: 10 ft of aluminum grow 0.155 in for 100 degrees F."""
    found = movement_in(120, per_f=EXPANSION["aluminum"].low_per_f, change_f=100)
    assert found == approx(0.155, abs=0.0005)


@pytest.mark.parametrize(
    ("material", "at_f", "grows_in"),
    [
        ("aluminum", 150, 1.23), ("aluminum", 0, -0.97), ("aluminum", 100, 0.46),
        ("copper", 150, 0.90), ("copper", 0, -0.79), ("copper", 100, 0.34),
        ("stainless", 150, 0.90), ("stainless", 0, -0.72), ("stainless", 100, 0.34),
        ("steel", 150, 0.61), ("steel", 0, -0.49), ("steel", 100, 0.23),
    ],
)  # fmt: skip
def test_a_hundred_feet_of_pipe(material, at_f, grows_in):
    """M-202: growth of 100 ft from 70 degrees F, within a sixth of the printed value.

    The table is of other alloys and its coefficients rise with temperature (by a tenth from -20
    to 150 degrees F); ours is one value for the season, so it agrees less closely in the cold.
    """
    row = EXPANSION[material]
    ours = movement_in(1200, per_f=row.high_per_f, change_f=at_f - 70)
    assert ours == approx(grows_in, rel=1 / 6)
    if at_f == 150:
        assert ours == approx(grows_in, rel=0.06)
