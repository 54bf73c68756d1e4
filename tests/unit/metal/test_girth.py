"""Girth, bend lines and the measure of legs."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from weatherlap.errors import InputError
from weatherlap.metal.girth import girth_in, lay_flat, plain_sum_in
from weatherlap.metal.model import Bend, Leg, Measure, Metal, Profile, Toward

BACK, FINISH = Toward.BACK, Toward.FINISH


def angle_iron(measure, *, toward=BACK):
    """Two legs of 2 in with a square bend."""
    return Profile("L", (Leg(2, measure), Leg(2, measure)), (Bend(90, toward),))


def test_legs_to_the_wood_nearly_add_up(coil):
    """Trim coil measured to its inside faces is its plain sum within 1/64 in a bend."""
    profile = angle_iron(Measure.INSIDE)
    assert 0 < girth_in(profile, metal=coil) - plain_sum_in(profile) < 1 / 64


def test_outside_legs_lose_a_thirty_second(coil):
    """The same sizes taken outside need about 1/32 in less a bend."""
    profile = angle_iron(Measure.OUTSIDE)
    assert girth_in(profile, metal=coil) - plain_sum_in(profile) == approx(-0.026, abs=0.001)


@pytest.mark.parametrize(
    ("face", "toward", "same"),
    [
        pytest.param(Measure.BACK, BACK, Measure.INSIDE, id="back-of-a-bend-to-the-back"),
        pytest.param(Measure.BACK, FINISH, Measure.OUTSIDE, id="back-of-a-bend-to-the-finish"),
        pytest.param(Measure.FINISH, FINISH, Measure.INSIDE, id="finish-of-a-bend-to-the-finish"),
        pytest.param(Measure.FINISH, BACK, Measure.OUTSIDE, id="finish-of-a-bend-to-the-back"),
    ],
)
def test_a_face_is_inside_or_outside_by_its_bend(coil, face, toward, same):
    """A leg measured on a face of the sheet counts as inside where the bend closes over it."""
    one = girth_in(angle_iron(face, toward=toward), metal=coil)
    assert one == approx(girth_in(angle_iron(same, toward=toward), metal=coil))


@given(
    st.lists(st.floats(0.5, 20), min_size=1, max_size=8),
    st.floats(0.01, 0.04),
    st.floats(0, 0.5),
)
def test_spans_add_up_to_the_girth(lengths, thick, k):
    """Widths between marks add up to the girth, and marks rise from the start edge."""
    legs = tuple(Leg(length) for length in lengths)
    profile = Profile("p", legs, (Bend(90, BACK),) * (len(legs) - 1))
    strip = lay_flat(profile, metal=Metal("m", thick, k))
    assert sum(strip.spans_in) == approx(strip.girth_in)
    assert list(strip.lines_in) == sorted(strip.lines_in)
    assert sum(strip.flats_in) + sum(strip.allowances_in) == approx(strip.girth_in)


def test_a_leg_too_short_for_its_bends_is_named(coil):
    """A leg with no straight part left is refused with the length that would do."""
    profile = Profile(
        "tight", (Leg(2), Leg(0.2), Leg(2)), (Bend(90, BACK, 0.125), Bend(90, BACK, 0.125))
    )
    with pytest.raises(InputError, match=r"tight, leg 2.*more than 0.250"):
        lay_flat(profile, metal=coil)


@pytest.mark.parametrize("length", [0.0, -1.0, math.nan, math.inf, 1e9])
def test_absurd_legs_are_refused(length):
    """A leg that is not a plain length is refused."""
    with pytest.raises(InputError, match=r"leg.*expected 0.0156"):
        Leg(length)


@pytest.mark.parametrize("angle", [0.0, -90.0, 200.0, math.nan])
def test_absurd_angles_are_refused(angle):
    """A bend turns 1 to 180 degrees."""
    with pytest.raises(InputError, match=r"bend angle.*1 to 180 degrees"):
        Bend(angle, BACK)


def test_legs_and_bends_must_match():
    """A profile has one bend fewer than legs."""
    with pytest.raises(InputError, match="2 legs with 0 bends; expected 1 bends"):
        Profile("p", (Leg(1), Leg(1)), ())


def test_absurd_counts_of_legs_are_refused():
    """A profile of a thousand legs is refused."""
    with pytest.raises(InputError, match="1000 legs"):
        Profile("p", (Leg(1),) * 1000, (Bend(90, BACK),) * 999)
