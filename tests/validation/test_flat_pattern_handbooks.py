"""Checks flat patterns against M-005, M-207, M-208, M-209 and M-210: worked examples of handbooks.

Sizes in millimetres are brought to inches, as the program takes them.
"""

from __future__ import annotations

import math

from pytest import approx

from weatherlap.metal.bending import bend_allowance_in, bend_deduction_in, setback_in
from weatherlap.metal.girth import lay_flat
from weatherlap.metal.model import Bend, Leg, Measure, Metal, Profile, Toward

MM = 1 / 25.4


def part(legs_mm, *, thick_mm, radius_mm, k, angle=90.0):
    """The strip of a part with outside legs in millimetres, all bends alike."""
    metal = Metal("sheet", thick_mm * MM, k, radius_mm * MM)
    legs = tuple(Leg(x * MM, Measure.OUTSIDE) for x in legs_mm)
    bends = (Bend(angle, Toward.BACK),) * (len(legs) - 1)
    return lay_flat(Profile("part", legs, bends), metal=metal)


def test_flats_of_the_handbook_channel():
    """M-005: a channel of 1, 2 and 1 in, .040 sheet, .16 radius: setback .2, flats .8, 1.6, .8."""
    assert setback_in(90, radius_in=0.16 + 0.040) == approx(0.2, abs=0.0005)
    legs = tuple(Leg(x, Measure.OUTSIDE) for x in (1.0, 2.0, 1.0))
    channel = Profile("channel", legs, (Bend(90, Toward.FINISH),) * 2)
    strip = lay_flat(channel, metal=Metal("2024-T3", 0.040, 0.4468, 0.16))
    assert strip.flats_in == approx((0.8, 1.6, 0.8), abs=0.005)


def test_allowances_of_plate_and_bolt():
    """M-207: 5.10 in for a square bend of radius 3 in 1/2 in plate, 3.925 in for half a turn.

    The manual rounds pi / 2 to 1.57 and pi to 3.14.
    """
    plate = bend_allowance_in(90, radius_in=3.0, thickness_in=0.5, k_factor=0.5)
    assert plate == approx(5.10, abs=0.006)
    bolt = bend_allowance_in(180, radius_in=1.0, thickness_in=0.5, k_factor=0.5)
    assert bolt == approx(3.925, abs=0.0025)


def test_an_acute_part_by_the_standard():
    """M-208: opened to 60 degrees, so turned through 120: v = 5.77 mm, a flat of about 32 mm.

    The standard measures such legs to the tangent across the bend, r + s beyond each flat. Its
    factor is twice K; the book reads 0.7 off a chart where the formula gives 0.689, and rounds
    the flat up.
    """
    r, s, factor = 6.0, 5.0, 0.7
    allowance = bend_allowance_in(120, radius_in=r * MM, thickness_in=s * MM, k_factor=factor / 2)
    assert 2 * (r + s) - allowance / MM == approx(5.77, abs=0.005)
    beyond = math.tan(math.radians(60)) * (r + s)
    legs = (16 - (r + s) + beyond, 21 - (r + s) + beyond)
    strip = part(legs, thick_mm=s, radius_mm=r, k=factor / 2, angle=120.0)
    assert strip.girth_in / MM == approx(16 + 21 - 5.77, abs=0.005)
    assert math.ceil(strip.girth_in / MM) == 32


def test_a_profile_of_three_legs_by_the_rule_of_thumb():
    """M-209: 50, 40 and 30 mm of 1 mm sheet come from 116 mm; the rule is to the half millimetre.

    K is that of DIN 6935 for a radius of one thickness, 0.325.
    """
    strip = part((50, 40, 30), thick_mm=1, radius_mm=1, k=0.325)
    assert strip.girth_in / MM == approx(116, abs=0.5)


def test_a_worked_sheet_with_two_bends():
    """M-210: legs of 655 mm with two bends of v = 7.71 come from 639.58 mm.

    v = 0.43 r + 1.48 s is the deduction of a square bend with K = 0.52 / (pi / 2).
    """
    k = (2 - 1.48) / (math.pi / 2)
    v = bend_deduction_in(90, radius_in=7 * MM, thickness_in=3.18 * MM, k_factor=k)
    assert v / MM == approx(7.71, abs=0.005)
    strip = part((25, 605, 25), thick_mm=3.18, radius_mm=7, k=k)
    assert strip.girth_in / MM == approx(639.58, abs=0.005)
