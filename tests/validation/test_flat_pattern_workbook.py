"""Checks bent metal against M-201, M-002 and M-003: worked flat patterns and allowances."""

from __future__ import annotations

from pytest import approx

from weatherlap.metal.bending import bend_allowance_in, bend_deduction_in
from weatherlap.metal.girth import lay_flat
from weatherlap.metal.model import Bend, Leg, Measure, Metal, Profile, Toward

WORKBOOK_K = 0.0078 / 0.017453
SHEET = Metal("workbook sheet", 0.050, WORKBOOK_K, 0.032)


def test_allowance_of_a_square_bend():
    """M-201: T .050 and R .032 give an allowance of .085."""
    found = bend_allowance_in(90, radius_in=0.032, thickness_in=0.050, k_factor=WORKBOOK_K)
    assert found == approx(0.085, abs=0.0005)


def test_deduction_of_a_square_bend():
    """M-201: the same bend has a deduction of .079."""
    found = bend_deduction_in(90, radius_in=0.032, thickness_in=0.050, k_factor=WORKBOOK_K)
    assert found == approx(0.079, abs=0.0005)


def test_flat_of_a_part_with_three_bends():
    """M-201: outside legs .740, .420, 1.050 and 1.000 come from a flat of 2.973.

    The workbook rounds the deduction to .079 before it takes it off three times.
    """
    legs = tuple(Leg(x, Measure.OUTSIDE) for x in (0.740, 0.420, 1.050, 1.000))
    bends = (Bend(90, Toward.BACK), Bend(90, Toward.FINISH), Bend(90, Toward.BACK))
    strip = lay_flat(Profile("part", legs, bends), metal=SHEET)
    assert strip.girth_in == approx(2.973, abs=3 * 0.0005 + 0.0005)


def test_allowance_of_an_acute_bend():
    """M-002: T .25 and R .25 turned through 160 degrees give an allowance of 1.010."""
    found = bend_allowance_in(160, radius_in=0.25, thickness_in=0.25, k_factor=0.4468)
    assert found == approx(1.010, abs=0.0005)


def test_the_constant_form_is_the_same_formula():
    """M-003: (.0078 T + .017453 R) A is the allowance with K = .0078 / .017453."""
    for angle, radius, thick in ((30, 0.03, 0.02), (90, 0.25, 0.125), (135, 0.0, 0.06)):
        ours = bend_allowance_in(angle, radius_in=radius, thickness_in=thick, k_factor=WORKBOOK_K)
        assert ours == approx((0.0078 * thick + 0.017453 * radius) * angle, rel=1e-4)
