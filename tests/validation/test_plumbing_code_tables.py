"""Checks leaders against W-011 (NSPC 2006 Table 13.6.1) and gutters against W-013 (older IPC)."""

from __future__ import annotations

import pytest
from pytest import approx

from weatherlap.water.roofdrains import code_gutter_gpm, leader_gpm, runoff_gpm


@pytest.mark.parametrize(
    ("diameter_in", "gpm", "plan_ft2"),
    [(2, 23, 2180), (3, 67, 6426), (4, 144, 13840), (5, 261, 25094), (6, 424, 40805)],
)
def test_leader_table(diameter_in, gpm, plan_ft2):
    """W-011: each size carries the printed flow and takes the printed plan area at 1 in/h.

    The table's flows are whole gallons and its areas were worked out from flows rounded
    elsewhere, so the areas are held to 2 percent, the gallon of the 2 in row.
    """
    assert leader_gpm(diameter_in) == approx(gpm, abs=0.5)
    area = leader_gpm(diameter_in) / runoff_gpm(1.0, rain_in_per_h=1.0)
    assert area == approx(plan_ft2, rel=0.02)


@pytest.mark.parametrize(
    ("fall", "areas"),
    [
        (1 / 16, {3: 680, 4: 1440, 5: 2500, 6: 3840, 7: 5520, 8: 7960}),
        (1 / 8, {3: 960, 4: 2040, 5: 3520, 6: 5440, 7: 7800, 8: 11200}),
    ],
)
def test_gutter_table(fall, areas):
    """W-013 (from memory): plan areas at 1 in/h; the 1/8 in rows follow the root of the fall."""
    for diameter_in, plan_ft2 in areas.items():
        gpm = code_gutter_gpm(diameter_in, fall_in_per_ft=fall)
        assert gpm / runoff_gpm(1.0, rain_in_per_h=1.0) == approx(plan_ft2, rel=0.006)


def test_runoff_factor():
    """W-006: 0.0104 gal/min for each square foot of plan and inch an hour."""
    assert runoff_gpm(1.0, rain_in_per_h=1.0) == approx(0.0104, abs=0.00005)
