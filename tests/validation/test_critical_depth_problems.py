"""Checks critical flow against W-204 and W-205: a textbook solution and a package's example."""

from __future__ import annotations

from pytest import approx

from weatherlap.water.hydraulics import box_section, critical_flow_m3_per_s


def test_textbook_solution_15_8():
    """W-204: 50 m3/s in a 10 m wide channel passes at 1.37 m and 3.67 m/s."""
    width_m, depth_m = 10.0, 1.37
    flow = critical_flow_m3_per_s(box_section(width_m)(depth_m))
    assert (depth_m * (50.0 / flow) ** (2 / 3)) == approx(1.37, abs=0.005)
    assert flow / (width_m * depth_m) == approx(3.67, abs=0.005)


def test_open_source_river_package_example():
    """W-205: 250 ft3/s in a channel 100 ft wide passes at 0.5789949 ft, g being 32.2 ft/s2."""
    filled = box_section(100 * 0.3048)(0.5789949 * 0.3048)
    flow_ft3 = critical_flow_m3_per_s(filled) / 0.3048**3 * (32.2 * 0.3048 / 9.81) ** 0.5
    assert flow_ft3 == approx(250.0, abs=0.0001)
